"""Numbers of a crop: where they come from, put in and taken back, with who, when and why; plans and their cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import profiles
from bayround.actions.profiles import CropNumbers, NumberLine
from bayround.crops import load_crops
from bayround.facts.problems import Refused
from bayround.records import read_parts, write_setup


def read(small: SmallFarm) -> CropNumbers:
    return profiles.read(small.open, "sweet_pepper", TODAY)


def line(numbers: CropNumbers, name: str) -> NumberLine:
    return next(one for one in numbers.numbers if one.name == name)


def put(small: SmallFarm, name: str, value: float, reason: str = "our own strings") -> None:
    profiles.override(small.open, "sweet_pepper", name, value, small.person.id, small.moment.now, reason)


def test_every_number_has_unit_basis_and_source(small: SmallFarm) -> None:
    numbers = read(small)
    assert len(numbers.numbers) == len(load_crops().profile("sweet_pepper").numbers)
    assert all(one.unit and one.source and one.label for one in numbers.numbers)
    assert {one.basis for one in numbers.numbers} == {"published", "common practice", "memory"}


def test_an_own_number_holds_with_who_when_and_why(small: SmallFarm) -> None:
    put(small, "tie_every_cm", 22)
    found = line(read(small), "tie_every_cm")
    assert (found.value, found.file_value, found.basis, found.is_own) == (22, 25, "farm", True)
    (change,) = found.changes
    assert (change.by, change.changed_at, change.reason) == (
        small.person.name,
        small.moment.now,
        "our own strings",
    )
    assert small.open.crops.profile("sweet_pepper").number("tie_every_cm").value == 22
    assert farm_actions.crops_of(small.open.store).profile("sweet_pepper").number("tie_every_cm").value == 22


def test_back_to_the_file_brings_its_source_back_and_keeps_the_history(small: SmallFarm) -> None:
    before = line(read(small), "tie_every_cm")
    put(small, "tie_every_cm", 22)
    later = small.moment.now + timedelta(hours=1)
    profiles.back_to_file(small.open, "sweet_pepper", "tie_every_cm", small.person.id, later)
    found = line(read(small), "tie_every_cm")
    assert replace(found, changes=()) == before
    assert [change.value for change in found.changes] == [22, 25]


@pytest.mark.parametrize(
    ("name", "value", "reason", "said"),
    [
        ("tie_every_cm", 22, "  ", "needs a reason"),
        ("tie_every_cm", 60, "because", "must be above tie_every_cm"),
        ("chance_green_picked", 1.4, "because", "must be above 0 and at most 1"),
        ("load_band.12.low_per_m2", 40, "because", "must be above"),
        ("no_such_number", 1, "because", "no number called"),
    ],
)
def test_what_cannot_be_right_is_refused_and_nothing_is_kept(
    small: SmallFarm, name: str, value: float, reason: str, said: str
) -> None:
    with pytest.raises(Refused) as refused:
        put(small, name, value, reason)
    assert said in refused.value.message
    assert refused.value.kept
    assert read_parts.read_overrides(small.open.store) == ()
    assert small.open.crops.profile("sweet_pepper").number("tie_every_cm").value == 25


def with_loads(small: SmallFarm, weeks: int) -> None:
    """Walk both bays weekly from week 8 to the week given; every plant carries place + 1 fruit."""
    for bay, planting in zip(small.bays, small.plantings, strict=True):
        marked = factory.plants(planting)
        facts: list[object] = [*marked]
        for week in range(8, weeks):
            day = planting.transplanted_on + timedelta(weeks=week)
            begun = factory.Round(factory.key(), day, small.person.id)
            numbers = {plant.id: {"fruit_green": place + 1.0} for place, plant in enumerate(marked)}
            record = factory.record(planting, day, numbers)
            visit = replace(record.visit, round_id=begun.id, scout_id=small.person.id, bay_id=bay.id)
            facts += [begun, visit, *record.readings.values()]
        write_setup.add(small.open.store, *facts)


def test_the_band_is_proposed_from_the_farms_own_weeks_and_taken_over(small: SmallFarm) -> None:
    """Every visit saw 5.5 fruit on a plant at 5.75 plants/m²: 31.6 fruit/m², whichever quantile."""
    with_loads(small, 14)
    numbers = read(small)
    by_week = {row.weeks: row for row in numbers.band}
    assert by_week[10.0].proposed_low == pytest.approx(5.5 * 5.75)
    assert by_week[10.0].past_loads == 6  # two bays, three visits within a week and a half
    assert by_week[24.0].proposed_low is None
    narrow = tuple(
        replace(row, proposed_low=20.04, proposed_high=33.3) for row in numbers.band if row.weeks == 10
    )
    assert profiles.take_proposal(small.open, "sweet_pepper", narrow, small.person.id, small.moment.now) == 1
    row = next(row for row in read(small).band if row.weeks == 10)
    assert (row.low, row.high, row.basis, row.file_low, row.file_high) == (20.0, 33.3, "farm", 9.0, 28.0)
    upper = profiles.band_line(read(small), row, upper=True)
    assert upper.changes[0].reason == "proposed from the farm's own past weeks"
    later = small.moment.now + timedelta(hours=1)
    profiles.back_to_file(small.open, "sweet_pepper", row.high_name, None, later)
    assert next(row for row in read(small).band if row.weeks == 10).high == 28.0


def test_a_plan_says_what_it_costs(small: SmallFarm) -> None:
    """Exact chances by stepping through every total, checked in tests/outside/test_operating.py; here the words."""
    aphids = next(view for view in read(small).plans if view.title == "Aphids · leaf")
    first, second, third, wald = profiles.sentences(aphids)
    assert wald.startswith(
        "Wald's approximation (thin line) knows no largest number: it says 10 and 10 of 100"
    )
    low, high = aphids.leave_point, aphids.act_point
    assert f"At 5 % infested you'd act needlessly in {low.act * 100:.0f} of 100 rounds" in first
    assert f"on average {low.average_inspected:.0f} are inspected" in first
    assert f"At 20 % infested you'd leave it by mistake in {high.leave * 100:.0f} of 100" in second
    assert "even 60 do not tell" in third
    for point in aphids.curve:
        assert point.act + point.leave + point.cannot_tell == pytest.approx(1.0)
    assert aphids.curve[0].act < 0.01
    assert aphids.curve[-1].act > 0.98


def test_the_stop_table_lists_where_an_answer_changes(small: SmallFarm) -> None:
    aphids = next(view for view in read(small).plans if view.title == "Aphids · leaf")
    lines = profiles.table_lines(aphids)
    assert lines[0][0] == 1
    assert lines[-1][0] == 60
    assert (13, 0, 3) in lines  # thirteen clean leaves, and it can be left
    assert all(one[1:] != two[1:] for one, two in pairwise(lines[:-1]))


def test_the_farms_main_crop_comes_first(small: SmallFarm) -> None:
    assert profiles.crops(small.open)[0] == ("sweet_pepper", "Sweet pepper")
