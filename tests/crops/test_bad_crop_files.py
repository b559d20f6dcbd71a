"""A spoilt file is refused, and the message names the file and the key."""

from collections.abc import Callable
from pathlib import Path

import pytest

from bayround.crops import load_crops

Spoil = Callable[[str, str, str], Path]

PEPPER = "crops/sweet_pepper.toml"
TIE = '[numbers.tie_every_cm]\nlabel = "Head above the last tie: trellising is due from"\nvalue = 25\nunit = "cm"'
TIE_SOURCE = '\nsource = "from memory: Florida and Almeria practice"\nbasis = "memory"'
FIRST_THRIPS = 'kind = "card_per_day"\ncrops = ["cucumber"]\nvalue = 20'


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('key = "sweet_pepper"', 'key = "pepper"', "key: is 'pepper'"),
        ('eppo_code = "CPSAN"', 'eppo_code = "CPSANN"', "eppo_code: must be 5"),
        ('name = "Sweet pepper"', 'name = " "', "name: must not be empty"),
        ('name = "Sweet pepper"', "", "name: is missing"),
        ('name = "Sweet pepper"', 'name = "Sweet pepper"\ncolour = "red"', "colour: is not known here"),
        ('pick_stages = ["coloured"', 'pick_stages = ["ripe"', "pick_stages: names 'ripe'"),
        (
            'degree_day_method = "single_sine"',
            'degree_day_method = "sine"',
            "degree_day_method: must be one of",
        ),
        ('    "thrips",', '    "dragons",', "organisms: 'dragons' is not in organisms.toml"),
        ('    "thrips",', '    "thrips",\n    "thrips",', "organisms: names 'thrips' twice"),
        ('    "thrips",', '    "chickweed",', "organisms: 'chickweed' has no threshold for this crop"),
        (TIE, TIE.replace("tie_every_cm", "tie_evry_cm"), "numbers.tie_every_cm: is missing"),
        (TIE, TIE.replace("25", '"25"'), "numbers.tie_every_cm.value: must be a number"),
        (TIE, TIE.replace("25", "true"), "numbers.tie_every_cm.value: must be a number"),
        (TIE, TIE.replace("25", "nan"), "numbers.tie_every_cm.value: must be a finite number"),
        (TIE, TIE.replace("25", "-25"), "numbers.tie_every_cm.value: must be above 0, not -25"),
        (TIE, TIE.replace("25", "45"), r"numbers.tie_urgent_cm.value: must be above tie_every_cm \(45\)"),
        (TIE, TIE.replace('"cm"', '"inch"'), "numbers.tie_every_cm.unit: must be one of 'cm', not 'inch'"),
        (TIE, TIE.replace("unit", "units"), "numbers.tie_every_cm.units: is not known"),
        (TIE + TIE_SOURCE, TIE, "numbers.tie_every_cm.source: is missing"),
        (
            TIE_SOURCE,
            TIE_SOURCE.replace('"memory"', '"gospel"'),
            "numbers.tie_every_cm.basis: must be one of",
        ),
        (
            TIE_SOURCE,
            TIE_SOURCE.replace('"memory"', '"published"'),
            'numbers.tie_every_cm.basis: is "published"',
        ),
        ("value = 0.15", "value = 15", "numbers.chance_flower_picked.value: must be above 0 and at most 1"),
        (
            "value = 0.15",
            "value = 0.9",
            r"numbers.chance_set_picked.value: must be at least chance_flower_picked",
        ),
        ("weeks_after_transplanting = 6", "weeks_after_transplanting = 3", "load_band.3..weeks_after_trans"),
        ("low_per_m2 = 9", "low_per_m2 = 29", "load_band.5..high_per_m2: must be above low_per_m2"),
        ("hard_low = 1\n", "hard_low = 6\n", "fields.1 'height_cm'..soft_low: .* must rise"),
        (
            "max_rise_per_week = 20\n",
            "max_rise_per_week = 21\n",
            "fields.height_cm.max_rise_per_week: must equal",
        ),
        ("monotone = true", 'monotone = "yes"', "fields.1 'height_cm'..monotone: must be true or false"),
        ('key = "height_cm"', 'key = "hieght_cm"', "fields.1 'hieght_cm'..key: must be one of"),
        ('key = "fruit_set"', 'key = "flowers"', "fields.4 'flowers'..stage: must be one of 'flower'"),
        ('stage = "set"', 'stage = "green"', "fields.4 'fruit_set'..stage: must be one of 'set'"),
        (
            "decimals = 0\nhard_low = 1\n",
            "decimals = 2\nhard_low = 1\n",
            "fields.1 'height_cm'..decimals: must be a whole number from 0 to 1",
        ),
    ],
)
def test_crop_file(spoil: Spoil, old: str, new: str, key: str) -> None:
    with pytest.raises(ValueError, match=rf"^sweet_pepper\.toml: {key}"):
        load_crops(spoil(PEPPER, old, new))


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('eppo_code = "FRANOC"', 'eppo_code = "FRANO"', "1 'thrips'..eppo_code: must be 6"),
        ('eppo_code = "THRITB"', 'eppo_code = "thritb"', r"1 'thrips'..also\[1\].eppo_code: must be 6"),
        ('eppo_code_basis = "published"', 'eppo_code_basis = "none"', "1 'thrips'..eppo_code_basis: must be"),
        ('kind = "pest"', 'kind = "insect"', "1 'thrips'..kind: must be one of"),
        ('key = "whiteflies"', 'key = "thrips"', "2 'thrips'..key: 'thrips' is used twice"),
        ('inspect = ["flower"', 'inspect = ["petal"', "1 'thrips'..inspect: 'petal' is not one of"),
        (
            'default_inspect = "flower"',
            'default_inspect = "root"',
            "1 'thrips'..default_inspect: must be one of",
        ),
        ("counting = true", "counting = false", r"1 'thrips'..thresholds\[2\].kind: is a mean count"),
        (FIRST_THRIPS, FIRST_THRIPS.replace("cucumber", "melon"), r".*thresholds\[1\].crops: 'melon' is not"),
        (FIRST_THRIPS, FIRST_THRIPS.replace("20", "0"), r".*thresholds\[1\].value: must be above 0"),
        (
            FIRST_THRIPS,
            FIRST_THRIPS.replace("20", "60"),
            r".*thresholds\[1\].value_high: must be above value",
        ),
        (FIRST_THRIPS, FIRST_THRIPS + '\npart = "flower"', r".*thresholds\[1\].part: has no meaning"),
        (FIRST_THRIPS, FIRST_THRIPS + "\np_act = 0.2", r".*thresholds\[1\].p_act: has no meaning"),
        (FIRST_THRIPS, FIRST_THRIPS.replace("cucumber", "sweet_pepper"), r".*thresholds\[4\].kind: .* twice"),
        ("p_leave = 0.32", "p_leave = 0.6", r".*thresholds\[5\].p_act: .* must rise"),
        ("p_leave = 0.32", "", r".*thresholds\[5\].p_leave: is missing"),
        ("value = 55", "value = 80", r".*thresholds\[5\].value: must lie between p_leave and p_act"),
        ("alpha = 0.10", "alpha = 0.6", r".*thresholds\[5\].alpha: must be above 0 and below 0.5"),
        ("slope = 1.7495", "slope = 0", r"3 'aphids'..density_relations\[1\].slope: must be above 0"),
    ],
)
def test_organism_file(spoil: Spoil, old: str, new: str, key: str) -> None:
    with pytest.raises(ValueError, match=rf"^organisms\.toml: organism.{key}"):
        load_crops(spoil("organisms.toml", old, new))


def test_not_toml_names_the_file_and_the_line(spoil: Spoil) -> None:
    with pytest.raises(ValueError, match=r"^tomato\.toml: not a valid TOML file: .*line"):
        load_crops(spoil("crops/tomato.toml", 'key = "tomato"', 'key = "tomato'))


def test_not_utf8_names_the_file(spoil: Spoil) -> None:
    folder = spoil("crops/tomato.toml", 'name = "Tomato"', 'name = "Tomate"')
    path = folder / "crops" / "tomato.toml"
    path.write_bytes(path.read_text(encoding="utf-8").encode("latin-1"))
    with pytest.raises(ValueError, match=r"^tomato\.toml: must be saved as UTF-8"):
        load_crops(folder)


def test_missing_files_are_named(spoil: Spoil, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="there is no crop file"):
        load_crops(tmp_path)
    (spoil(PEPPER, "[numbers.", "[numbers.") / "organisms.toml").unlink()
    with pytest.raises(ValueError, match=r"^organisms\.toml: cannot be read"):
        load_crops(tmp_path)


def test_a_number_of_ones_own_is_kept(spoil: Spoil) -> None:
    """An adviser may add numbers; they are read like the others."""
    own = '[numbers.own_number]\nlabel = "Own"\nvalue = 3\nunit = "hives"\n'
    own += 'source = "common practice, no source"\nbasis = "common practice"\n\n'
    crops = load_crops(spoil(PEPPER, "[numbers.tie_every_cm]", own + "[numbers.tie_every_cm]"))
    assert crops.profile("sweet_pepper").number("own_number").value == 3
