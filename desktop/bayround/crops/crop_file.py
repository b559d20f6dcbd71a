"""One crop file (`resources/crops/<key>.toml`) into a CropProfile; faults are ValueErrors."""

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import get_args

from bayround.crops.known_numbers import NUMBER_UNITS, order_fault, value_fault
from bayround.crops.profile import (
    FRUIT_STAGES,
    CropProfile,
    DegreeDayMethod,
    FruitStage,
    LoadBandPoint,
    ReadingField,
    SourcedNumber,
)
from bayround.crops.sources import read_source
from bayround.crops.toml_table import TomlTable

# What each field a scout may key in is measured in, and which stage of fruit it counts.
FIELD_UNITS: Mapping[str, str] = {
    "height_cm": "cm",
    "last_tie_cm": "cm",
    "stem_diameter_mm": "mm",
    "nodes": "",
    "trusses": "",
    "leaves": "",
    "flowers": "",
    "fruit_set": "",
    "fruit_green": "",
    "fruit_turning": "",
    "fruit_coloured": "",
    "fruit_picked": "",
}
FIELD_STAGES: Mapping[str, FruitStage] = {
    "flowers": "flower",
    "fruit_set": "set",
    "fruit_green": "green",
    "fruit_turning": "turning",
    "fruit_coloured": "coloured",
}
PLANT_CODE = re.compile(r"[A-Z0-9]{5}")
DEGREE_DAY_METHODS: tuple[DegreeDayMethod, ...] = get_args(DegreeDayMethod)

TOP_KEYS = (
    "key",
    "name",
    "eppo_code",
    "scientific_name",
    "pick_stages",
    "degree_day_method",
    "organisms",
    "fields_about",
    "fields",
    "numbers",
    "load_band_about",
    "load_band",
)
FIELD_KEYS = (
    "key",
    "label",
    "hint",
    "unit",
    "decimals",
    "hard_low",
    "hard_high",
    "soft_low",
    "soft_high",
    "monotone",
    "max_rise_per_week",
    "usual_spread",
    "plant_spread",
    "measuring_error",
    "counts_as_fruit",
    "stage",
)
NUMBER_KEYS = ("label", "value", "unit", "source", "basis", "note")
BAND_KEYS = ("weeks_after_transplanting", "low_per_m2", "high_per_m2")


def read_crop(table: TomlTable) -> CropProfile:
    """Turn the whole file into a profile. Raises ValueError naming file and key."""
    table.refuse_unknown(TOP_KEYS)
    numbers = read_numbers(table.table("numbers"))
    fields = read_fields(table)
    check_height_rise(table, fields, numbers)
    return CropProfile(
        key=read_key(table),
        name=table.text("name"),
        eppo_code=read_plant_code(table),
        scientific_name=table.text("scientific_name"),
        pick_stages=read_pick_stages(table, fields),
        degree_day_method=table.choice("degree_day_method", DEGREE_DAY_METHODS),
        organisms=table.texts("organisms"),
        fields=fields,
        numbers=MappingProxyType(numbers),
        load_band=read_load_band(table),
    )


def read_key(table: TomlTable) -> str:
    """The crop's key: the file's own name without `.toml`."""
    key = table.text("key")
    if f"{key}.toml" != table.file_name:
        raise table.fault("key", f"is '{key}', but the file is called {table.file_name}; the two must agree")
    return key


def read_plant_code(table: TomlTable) -> str:
    """The crop's EPPO code: five characters for a plant."""
    code = table.text("eppo_code")
    if not PLANT_CODE.fullmatch(code):
        raise table.fault("eppo_code", f"must be 5 capital letters or digits for a plant, not {code!r}")
    return code


def read_pick_stages(table: TomlTable, fields: tuple[ReadingField, ...]) -> tuple[FruitStage, ...]:
    """The stages at which the crop is picked; each must be keyed in."""
    counted = {FIELD_STAGES[field.key] for field in fields if field.counts_as_fruit}
    stages: list[FruitStage] = []
    for text in table.texts("pick_stages"):
        stage = next((stage for stage in FRUIT_STAGES if stage == text and stage in counted), None)
        if stage is None:
            raise table.fault("pick_stages", f"names '{text}', but no field counts fruit of that stage")
        stages.append(stage)
    return tuple(stages)


def read_fields(table: TomlTable) -> tuple[ReadingField, ...]:
    """The fields a scout keys in, in file order."""
    about = table.table("fields_about")
    about.refuse_unknown(("source", "basis"))
    fields = tuple(read_field(one, about) for one in table.tables("fields"))
    keys = [field.key for field in fields]
    for key in keys:
        if keys.count(key) > 1:
            raise table.fault("fields", f"names '{key}' twice")
    for needed in ("height_cm", "last_tie_cm"):
        if needed not in keys:
            raise table.fault("fields", f"must hold '{needed}'")
    return fields


def read_field(table: TomlTable, about: TomlTable) -> ReadingField:
    """One field. Raises ValueError when its limits contradict each other."""
    table.refuse_unknown(FIELD_KEYS)
    key = table.choice("key", tuple(FIELD_UNITS))
    unit = table.choice("unit", (FIELD_UNITS[key],))
    stage: FruitStage | str = FIELD_STAGES.get(key, "")
    table.choice("stage", (stage,))
    counts_as_fruit = table.flag("counts_as_fruit")
    if counts_as_fruit and stage in ("", "flower"):
        raise table.fault("counts_as_fruit", f"must be false: '{key}' counts no hanging fruit")
    limits = [table.number(name) for name in ("hard_low", "soft_low", "soft_high", "hard_high")]
    if limits != sorted(limits) or limits[0] < 0 or limits[1] == limits[2]:
        raise table.fault("soft_low", "0, hard_low, soft_low, soft_high, hard_high must rise in that order")
    max_rise = table.number("max_rise_per_week") if "max_rise_per_week" in table.values else None
    if max_rise is not None and max_rise <= 0:
        raise table.fault("max_rise_per_week", f"must be above 0, not {max_rise:g}")
    source, basis = read_source(about)
    return ReadingField(
        key=key,
        label=table.text("label"),
        hint=table.text("hint"),
        unit=unit,
        decimals=table.whole("decimals", 0, 1 if unit else 0),
        hard_low=limits[0],
        hard_high=limits[3],
        soft_low=limits[1],
        soft_high=limits[2],
        monotone=table.flag("monotone"),
        max_rise_per_week=max_rise,
        usual_spread=_above_0(table, "usual_spread"),
        plant_spread=_above_0(table, "plant_spread"),
        measuring_error=table.number("measuring_error"),
        counts_as_fruit=counts_as_fruit,
        stage=FIELD_STAGES.get(key, ""),
        source=source,
        basis=basis,
    )


def _above_0(table: TomlTable, name: str) -> float:
    """A spread: above 0. Raises ValueError when it is not."""
    found = table.number(name)
    if found <= 0:
        raise table.fault(name, f"must be above 0, not {found:g}")
    return found


def read_numbers(table: TomlTable) -> dict[str, SourcedNumber]:
    """All numbers of the crop. Raises ValueError when one is missing, impossible or contradicts another."""
    for name in NUMBER_UNITS:
        if name not in table.values:
            raise table.fault(name, "is missing; every crop needs it")
    numbers = {name: read_number(table.table(name), name) for name in table.values}
    fault = order_fault({name: number.value for name, number in numbers.items()})
    if fault is not None:
        raise table.fault(f"{fault[0]}.value", fault[1])
    return numbers


def read_number(table: TomlTable, name: str) -> SourcedNumber:
    """One number with its unit, source and basis."""
    table.refuse_unknown(NUMBER_KEYS)
    unit = table.choice("unit", (NUMBER_UNITS[name],)) if name in NUMBER_UNITS else table.text("unit")
    value = table.number("value")
    fault = value_fault(name, unit, value)
    if fault is not None:
        raise table.fault("value", fault)
    source, basis = read_source(table)
    note = table.text("note", may_be_empty=True, default="")
    return SourcedNumber(name, value, unit, source, basis, table.text("label"), note)


def check_height_rise(
    table: TomlTable, fields: tuple[ReadingField, ...], numbers: Mapping[str, SourcedNumber]
) -> None:
    """The height field and the number for doubtful growth say the same thing and must agree."""
    doubtful = numbers["growth_cm_week_doubtful"].value
    for field in fields:
        if field.key == "height_cm" and field.max_rise_per_week != doubtful:
            raise table.fault(
                "fields.height_cm.max_rise_per_week",
                f"must equal numbers.growth_cm_week_doubtful ({doubtful:g}), not {field.max_rise_per_week}",
            )


def read_load_band(table: TomlTable) -> tuple[LoadBandPoint, ...]:
    """The fruit the crop should carry by age. Raises ValueError when ages fall or a band is upside down."""
    about = table.table("load_band_about")
    about.refuse_unknown(("source", "basis", "note"))
    source, basis = read_source(about)
    note = about.text("note")
    points: list[LoadBandPoint] = []
    for row in table.tables("load_band"):
        row.refuse_unknown(BAND_KEYS)
        weeks, low, high = (row.number(key) for key in BAND_KEYS)
        if weeks < 0 or (points and weeks <= points[-1].weeks_after_transplanting):
            raise row.fault(
                "weeks_after_transplanting", f"must rise from row to row, from 0 on, not {weeks:g}"
            )
        if not 0 <= low < high:
            raise row.fault(
                "high_per_m2", f"must be above low_per_m2 ({low:g}), which is 0 or more, not {high:g}"
            )
        points.append(LoadBandPoint(weeks, low, high, source, basis, note))
    return tuple(points)
