"""A farm's own numbers take the place of the file's, which stay visible."""

import math

import pytest

from bayround import words
from bayround.crops import Crops, apply_overrides

PEPPER = "sweet_pepper"


def test_a_farms_number_replaces_the_files(crops: Crops) -> None:
    before = crops.profile(PEPPER).number("tie_every_cm")
    after = apply_overrides(crops, [(PEPPER, "tie_every_cm", 30)]).profile(PEPPER).number("tie_every_cm")
    assert (after.value, after.basis, after.original) == (30.0, "farm", before.value)
    assert after.source == f"set by this farm; crop file: 25 cm ({before.source})"
    assert (after.unit, after.label, after.note) == (before.unit, before.label, before.note)


def test_the_crops_given_are_left_alone(crops: Crops) -> None:
    changed = apply_overrides(crops, [(PEPPER, "tie_every_cm", 30)])
    assert crops.profile(PEPPER).number("tie_every_cm").value == 25
    assert crops.profile(PEPPER).number("tie_every_cm").original is None
    assert changed.profile("tomato") is crops.profile("tomato")
    assert changed.organisms is crops.organisms
    assert apply_overrides(crops, []) == crops


def test_the_last_of_several_holds_and_the_files_value_stays(crops: Crops) -> None:
    once = apply_overrides(crops, [(PEPPER, "tie_every_cm", 28), (PEPPER, "tie_every_cm", 30)])
    twice = apply_overrides(once, [(PEPPER, "tie_every_cm", 32)])
    number = twice.profile(PEPPER).number("tie_every_cm")
    assert (number.value, number.original, number.source.count("set by this farm")) == (32.0, 25.0, 1)


def test_two_that_only_fit_together_are_taken_together(crops: Crops) -> None:
    both = [(PEPPER, "tie_every_cm", 60.0), (PEPPER, "tie_urgent_cm", 90.0)]
    assert apply_overrides(crops, both).profile(PEPPER).number("tie_every_cm").value == 60
    with pytest.raises(ValueError, match=r"tie_urgent_cm.*must be above tie_every_cm \(60\), not 40"):
        apply_overrides(crops, both[:1])


@pytest.mark.parametrize(
    ("name", "value", "why"),
    [
        ("tie_every_cm", -3, r"tie_every_cm.*must be above 0, not -3"),
        ("tie_every_cm", math.nan, "must be a finite number"),
        ("chance_set_picked", 80, "at most 1, not 80"),
        ("weed_cover_percent_act", 120, "at most 100 %, not 120"),
        ("base_temperature_c", 70, "from -20 to 60 °C, not 70"),
        ("days_between_rounds", 6.5, "whole number from 1 on, not 6.5"),
        ("growth_cm_week_low", -1, "must be 0 or more, not -1"),
        ("load_band.12.high_per_m2", 5, "week 12: 5 must be above 10"),
    ],
)
def test_impossible_values_are_refused_in_words(crops: Crops, name: str, value: float, why: str) -> None:
    with pytest.raises(ValueError, match=rf"^Sweet pepper: .*{why}"):
        apply_overrides(crops, [(PEPPER, name, value)])


@pytest.mark.parametrize(
    ("crop", "name", "why"),
    [
        ("melon", "tie_every_cm", "no crop profile called 'melon'"),
        (PEPPER, "tie_evry_cm", "no number called 'tie_evry_cm'"),
        (PEPPER, "load_band.13.low_per_m2", "no row for week 13"),
        (PEPPER, "load_band.12.middle", "no number called 'load_band.12.middle'"),
    ],
)
def test_unknown_names_are_answered_in_words(crops: Crops, crop: str, name: str, why: str) -> None:
    with pytest.raises(KeyError, match=why):
        apply_overrides(crops, [(crop, name, 1.0)])


def test_the_load_band_can_be_the_farms_own(crops: Crops) -> None:
    overrides = [(PEPPER, "load_band.12.high_per_m2", 40.0), (PEPPER, "load_band.12.low_per_m2", 15.0)]
    band = apply_overrides(crops, overrides).profile(PEPPER).load_band
    point = next(point for point in band if point.weeks_after_transplanting == 12)
    assert (point.low_per_m2, point.high_per_m2, point.basis) == (15.0, 40.0, "farm")
    assert (point.original_low_per_m2, point.original_high_per_m2) == (10.0, 30.0)
    assert point.source == "set by this farm; crop file: 10 to 30 fruit/m² (common practice, no source)"
    others = [point for point in band if point.weeks_after_transplanting != 12]
    assert others == [p for p in crops.profile(PEPPER).load_band if p.weeks_after_transplanting != 12]


def test_doubtful_growth_moves_with_the_height_field(crops: Crops) -> None:
    changed = apply_overrides(crops, [(PEPPER, "growth_cm_week_doubtful", 26)]).profile(PEPPER)
    assert changed.field("height_cm").max_rise_per_week == 26
    assert changed.field("flowers") == crops.profile(PEPPER).field("flowers")


def test_numbers_are_written_the_persons_way(crops: Crops) -> None:
    words.use(decimal_mark=",")
    try:
        changed = apply_overrides(crops, [(PEPPER, "plants_per_m2_low", 2.25)])
        assert "crop file: 1,5 plants/m²" in changed.profile(PEPPER).number("plants_per_m2_low").source
    finally:
        words.use()
