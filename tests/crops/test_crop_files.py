"""The crop files that ship: complete, each number sourced, and in agreement with one another."""

import dataclasses
import re
import tomllib
from pathlib import Path

import pytest

from bayround.crops import Crops, load_crops
from bayround.crops.known_numbers import NUMBER_UNITS
from bayround.crops.toml_table import read_toml

RESOURCES = Path(__file__).resolve().parents[2] / "resources"
CROPS = ("cucumber", "sweet_pepper", "tomato")
# The names other parts of the program rely on, written out here on purpose.
RELIED_ON = [
    "plants_per_m2_low",
    "plants_per_m2_high",
    "stems_per_m2_low",
    "stems_per_m2_high",
    "growth_cm_week_low",
    "growth_cm_week_high",
    "growth_cm_week_doubtful",
    "tie_every_cm",
    "tie_urgent_cm",
    "days_between_rounds",
    "round_late_days",
    "unevenness_cv_percent",
    "weed_cover_percent_act",
    "weed_cover_percent_urgent",
    "pick_coloured_per_m2",
    "pick_green_per_m2",
    "fruit_weight_g",
    "fruit_weight_sd_g",
    "days_flower_to_set",
    "days_set_to_green",
    "days_green_to_turning",
    "days_turning_to_coloured",
    "chance_flower_picked",
    "chance_set_picked",
    "chance_green_picked",
    "chance_turning_picked",
    "base_temperature_c",
    "upper_temperature_c",
    "heat_flower_to_pick_cd",
    "labour_trellis_h_per_1000_stems",
    "labour_balance_h_per_1000_plants",
    "labour_weed_h_per_100_m2",
    "labour_pick_kg_per_h",
    "labour_scout_minutes_per_plant",
    "plant_mass_kg",
    "weeks_to_first_pick",
]


def test_the_three_crops_load(crops: Crops) -> None:
    assert tuple(crops.profiles) == CROPS


def test_installed_resources_are_the_default() -> None:
    assert load_crops() == load_crops(RESOURCES)


@pytest.mark.parametrize("crop", CROPS)
def test_every_number_relied_on_is_there_with_unit_source_and_basis(crops: Crops, crop: str) -> None:
    profile = crops.profile(crop)
    assert set(RELIED_ON) <= set(NUMBER_UNITS) <= set(profile.numbers)
    for name, number in profile.numbers.items():
        assert number.name == name
        assert number.unit
        assert number.label
        assert number.source
        assert number.basis in ("published", "common practice", "memory")
        assert number.original is None


@pytest.mark.parametrize("crop", CROPS)
def test_the_loader_gives_what_the_file_says(crops: Crops, crop: str) -> None:
    written = tomllib.loads((RESOURCES / "crops" / f"{crop}.toml").read_text(encoding="utf-8"))
    profile = crops.profile(crop)
    assert {name: number.value for name, number in profile.numbers.items()} == {
        name: table["value"] for name, table in written["numbers"].items()
    }
    assert [field.key for field in profile.fields] == [table["key"] for table in written["fields"]]
    for field, table in zip(profile.fields, written["fields"], strict=True):
        as_read = dataclasses.asdict(field)
        assert {key: as_read[key] for key in table} == table
    assert [
        (point.weeks_after_transplanting, point.low_per_m2, point.high_per_m2) for point in profile.load_band
    ] == [tuple(table.values()) for table in written["load_band"]]
    assert profile.organisms == tuple(written["organisms"])


@pytest.mark.parametrize(
    ("crop", "keys"),
    [
        (
            "sweet_pepper",
            "height_cm last_tie_cm flowers fruit_set fruit_green fruit_turning fruit_coloured",
        ),
        (
            "tomato",
            "height_cm last_tie_cm trusses stem_diameter_mm flowers fruit_set fruit_green fruit_turning "
            "fruit_coloured",
        ),
        ("cucumber", "height_cm last_tie_cm leaves flowers fruit_set fruit_green"),
    ],
)
def test_fields_come_in_the_order_of_keying_in(crops: Crops, crop: str, keys: str) -> None:
    assert [field.key for field in crops.profile(crop).fields] == keys.split()


@pytest.mark.parametrize("crop", CROPS)
def test_the_load_counts_hanging_fruit_and_not_flowers(crops: Crops, crop: str) -> None:
    fruit = {field.key for field in crops.profile(crop).fields if field.counts_as_fruit}
    assert fruit == {field.key for field in crops.profile(crop).fields if field.key.startswith("fruit_")}
    assert crops.profile(crop).field("height_cm").monotone


@pytest.mark.parametrize("crop", CROPS)
def test_the_load_band_is_marked_as_a_farm_setting(crops: Crops, crop: str) -> None:
    for point in crops.profile(crop).load_band:
        assert (point.source, point.basis) == ("common practice, no source", "common practice")
        assert "Farm setting" in point.note


def test_every_organism_of_a_crop_has_a_level_at_which_something_is_due(crops: Crops) -> None:
    for profile in crops.profiles.values():
        assert len(profile.organisms) >= 5
        for key in profile.organisms:
            assert crops.organism(key).thresholds_for(profile.key), (profile.key, key)


def test_whatever_part_is_checked_something_can_be_due(crops: Crops) -> None:
    """A check of any part the scout may choose meets a level: a find, a share or a mean of that very part."""
    for profile in crops.profiles.values():
        for organism in map(crops.organism, profile.organisms):
            finds = organism.threshold_for(profile.key, "presence")
            for part in organism.inspect:
                share = organism.threshold_for(profile.key, "incidence_percent", part)
                mean = organism.threshold_for(profile.key, "mean_per_unit", part)
                assert finds or share or mean, (profile.key, organism.key, part)


def test_a_row_for_the_crop_goes_before_one_for_all(crops: Crops) -> None:
    whiteflies = crops.organism("whiteflies")
    own = whiteflies.threshold_for("tomato", "incidence_percent", "leaf")
    general = whiteflies.threshold_for("cucumber", "incidence_percent", "leaf")
    assert own is not None
    assert general is not None
    assert (own.crops, own.value, general.crops, general.value) == (("tomato",), 10, ("*",), 20)
    assert whiteflies.threshold_for("tomato", "severity_percent") is None
    assert whiteflies.threshold_for("tomato", "incidence_percent", "leaflet") is None


def test_a_level_from_elsewhere_says_so(crops: Crops) -> None:
    """A published level is for this crop under cover, or its note says where it was measured."""
    elsewhere = re.compile(r"starting value|greenhouse|plastic house|high tunnel", re.IGNORECASE)
    for organism in crops.organisms.values():
        for threshold in organism.thresholds:
            if threshold.basis == "published":
                words = threshold.applies_note + threshold.source
                assert elsewhere.search(words) or "Trigger is presence" in words, (organism.key, threshold)


def test_codes_have_the_shape_of_eppo_codes(crops: Crops) -> None:
    """EPPO code overview: pests and pathogens 6 characters, plants 5."""
    for profile in crops.profiles.values():
        assert re.fullmatch(r"[A-Z]{5}", profile.eppo_code)
    for organism in crops.organisms.values():
        if organism.kind == "beneficial":
            assert (organism.eppo_code, organism.eppo_code_basis) == ("", "none")
            continue
        length = 5 if organism.kind == "weed" else 6
        for code in (organism.eppo_code, *(species.eppo_code for species in organism.also)):
            assert re.fullmatch(r"[A-Z][A-Z0-9]+", code)
            assert len(code) == length


def test_no_code_stands_for_two_organisms(crops: Crops) -> None:
    codes = [
        code
        for organism in crops.organisms.values()
        for code in (organism.eppo_code, *(species.eppo_code for species in organism.also))
        if code
    ]
    assert len(codes) == len(set(codes))


def test_unknown_names_are_answered_in_words(crops: Crops) -> None:
    with pytest.raises(KeyError, match=r"no crop profile called 'melon'.*sweet_pepper"):
        crops.profile("melon")
    with pytest.raises(KeyError, match="Sweet pepper has no number called 'tie'"):
        crops.profile("sweet_pepper").number("tie")
    with pytest.raises(KeyError, match="No field 'leaves' is keyed in for Sweet pepper"):
        crops.profile("sweet_pepper").field("leaves")
    with pytest.raises(KeyError, match="no organism called 'dragon'"):
        crops.organism("dragon")


def test_profiles_cannot_be_changed(crops: Crops) -> None:
    profile = crops.profile("tomato")
    with pytest.raises(dataclasses.FrozenInstanceError):
        profile.name = "Potato"  # type: ignore[misc]
    with pytest.raises(TypeError):
        profile.numbers["tie_every_cm"] = profile.number("tie_urgent_cm")  # type: ignore[index]


def test_every_file_can_be_read_by_an_adviser() -> None:
    """Comment lines fit an A4 page at a common size, and the files are plain UTF-8 without tabs."""
    for path in [*(RESOURCES / "crops").glob("*.toml"), RESOURCES / "organisms.toml"]:
        assert read_toml(path).values
        for line in path.read_text(encoding="utf-8").splitlines():
            assert "\t" not in line
            assert not line.startswith("#") or len(line) <= 112
