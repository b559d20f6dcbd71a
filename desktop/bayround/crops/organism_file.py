"""`resources/organisms.toml` into Organisms. Every fault is a ValueError with file, organism and key."""

import re
from typing import get_args

from bayround.crops.organisms import (
    ANY_CROP,
    CodeBasis,
    DensityRelation,
    FileBasis,
    Organism,
    OrganismKind,
    SequentialPlan,
    Species,
    Threshold,
    ThresholdKind,
)
from bayround.crops.sources import NO_SOURCE, read_source
from bayround.crops.toml_table import TomlTable

PARTS: tuple[str, ...] = (
    "plant",
    "leaf",
    "leaflet",
    "flower",
    "terminal bud",
    "fruit",
    "stem",
    "root",
    "square metre",
)
KINDS: tuple[OrganismKind, ...] = get_args(OrganismKind)
THRESHOLD_KINDS: tuple[ThresholdKind, ...] = get_args(ThresholdKind)
CODE_BASES: tuple[CodeBasis, ...] = get_args(CodeBasis)
KINDS_MEASURED_ON_A_PART: tuple[ThresholdKind, ...] = (
    "incidence_percent",
    "mean_per_unit",
    "severity_percent",
)

PEST_CODE = re.compile(r"[A-Z0-9]{6}")
PLANT_CODE = re.compile(r"[A-Z0-9]{5}")

ORGANISM_KEYS = (
    "key",
    "kind",
    "name",
    "scientific_name",
    "eppo_code",
    "eppo_code_basis",
    "inspect",
    "default_inspect",
    "counting",
    "severity",
    "look_for",
    "caution",
    "also",
    "thresholds",
    "density_relations",
)
PLAN_KEYS = ("p_leave", "p_act", "alpha", "beta", "max_inspected", "plan_source", "plan_basis")
THRESHOLD_KEYS = (
    "kind",
    "crops",
    "part",
    "infested_from_count",
    "value",
    "value_high",
    "unit",
    "source",
    "basis",
    "applies_note",
    *PLAN_KEYS,
)
RELATION_KEYS = ("crops", "part", "tally", "intercept", "slope", "unit", "source", "basis", "applies_note")


def read_organisms(table: TomlTable, crop_keys: tuple[str, ...]) -> dict[str, Organism]:
    """All organisms by key, for the crops in `crop_keys`. Raises ValueError naming file, organism and key."""
    table.refuse_unknown(("organism",))
    organisms: dict[str, Organism] = {}
    for row in table.tables("organism"):
        organism = read_organism(row, crop_keys)
        if organism.key in organisms:
            raise row.fault("key", f"'{organism.key}' is used twice")
        organisms[organism.key] = organism
    return organisms


def read_organism(table: TomlTable, crop_keys: tuple[str, ...]) -> Organism:
    """One organism with its thresholds."""
    table.refuse_unknown(ORGANISM_KEYS)
    kind = table.choice("kind", KINDS)
    main = read_species(table, kind)
    inspect = read_parts(table)
    counting, severity = table.flag("counting"), table.flag("severity")
    thresholds = read_thresholds(table, crop_keys, inspect, counting, severity)
    return Organism(
        key=table.text("key"),
        kind=kind,
        name=table.text("name"),
        scientific_name=main.scientific_name,
        eppo_code=main.eppo_code,
        eppo_code_basis=main.eppo_code_basis,
        inspect=inspect,
        default_inspect=table.choice("default_inspect", inspect),
        counting=counting,
        severity=severity,
        look_for=table.text("look_for", may_be_empty=True, default=""),
        caution=table.text("caution", may_be_empty=True, default=""),
        also=tuple(read_species(row, kind, alone=True) for row in table.tables("also", required=False)),
        thresholds=thresholds,
        density_relations=tuple(
            read_relation(row, crop_keys, inspect)
            for row in table.tables("density_relations", required=False)
        ),
    )


def read_parts(table: TomlTable) -> tuple[str, ...]:
    """The parts of which one can be checked."""
    parts = table.texts("inspect")
    for part in parts:
        if part not in PARTS:
            raise table.fault("inspect", f"'{part}' is not one of {', '.join(PARTS)}")
    return parts


def read_species(table: TomlTable, kind: OrganismKind, *, alone: bool = False) -> Species:
    """Scientific name and EPPO code: 6 characters for animals and diseases, 5 for weeds, none for groups."""
    if alone:
        table.refuse_unknown(("scientific_name", "eppo_code", "eppo_code_basis"))
    code = table.text("eppo_code", may_be_empty=True)
    basis = table.choice("eppo_code_basis", CODE_BASES)
    if (code == "") != (basis == "none"):
        raise table.fault("eppo_code_basis", 'must be "none" when there is no code, and only then')
    if code == "" and kind != "beneficial":
        raise table.fault("eppo_code", "must not be empty")
    shape, characters = (PLANT_CODE, 5) if kind == "weed" else (PEST_CODE, 6)
    if code and not shape.fullmatch(code):
        raise table.fault(
            "eppo_code", f"must be {characters} capital letters or digits for a {kind}, not {code!r}"
        )
    return Species(table.text("scientific_name"), code, basis)


def read_crop_keys(table: TomlTable, crop_keys: tuple[str, ...]) -> tuple[str, ...]:
    """The crops a row holds for: known crop keys, or "*" alone."""
    crops = table.texts("crops")
    if ANY_CROP in crops and len(crops) > 1:
        raise table.fault("crops", 'must be ["*"] alone, or name crops')
    for crop in crops:
        if crop != ANY_CROP and crop not in crop_keys:
            raise table.fault("crops", f"'{crop}' is not one of {', '.join(crop_keys)}")
    return crops


def read_thresholds(
    table: TomlTable, crop_keys: tuple[str, ...], inspect: tuple[str, ...], counting: bool, severity: bool
) -> tuple[Threshold, ...]:
    """The thresholds of one organism; two that would hold for the same question are refused."""
    thresholds: list[Threshold] = []
    asked: set[tuple[str, str, str, int]] = set()
    for row in table.tables("thresholds", required=False):
        threshold = read_threshold(row, crop_keys, inspect)
        if threshold.kind == "mean_per_unit" and not counting:
            raise row.fault("kind", "is a mean count, but counting = false for this organism")
        if threshold.kind == "severity_percent" and not severity:
            raise row.fault("kind", "is a severity, but severity = false for this organism")
        for crop in threshold.crops:
            question = (crop, threshold.kind, threshold.part, threshold.infested_from_count)
            if question in asked:
                raise row.fault("kind", f"'{threshold.kind}' is given twice for crop '{crop}'")
            asked.add(question)
        thresholds.append(threshold)
    return tuple(thresholds)


def read_threshold(table: TomlTable, crop_keys: tuple[str, ...], inspect: tuple[str, ...]) -> Threshold:
    """One threshold."""
    table.refuse_unknown(THRESHOLD_KEYS)
    kind = table.choice("kind", THRESHOLD_KINDS)
    part = table.choice("part", inspect) if kind in KINDS_MEASURED_ON_A_PART else ""
    if part == "" and "part" in table.values:
        raise table.fault("part", f"has no meaning for '{kind}'")
    value = table.number("value")
    if value <= 0 or (kind.endswith("_percent") and value > 100) or (kind == "presence" and value != 1):
        raise table.fault("value", "must be above 0, at most 100 for a percentage, and 1 for presence")
    value_high = table.number("value_high") if "value_high" in table.values else None
    if value_high is not None and (value_high <= value or (kind.endswith("_percent") and value_high > 100)):
        raise table.fault("value_high", f"must be above value ({value:g}), and at most 100 for a percentage")
    count = table.whole("infested_from_count", 1, 1000) if "infested_from_count" in table.values else 1
    if count > 1 and kind != "incidence_percent":
        raise table.fault("infested_from_count", f"has no meaning for '{kind}'")
    source, basis = read_source(table)
    return Threshold(
        kind=kind,
        crops=read_crop_keys(table, crop_keys),
        value=value,
        value_high=value_high,
        unit=table.text("unit"),
        part=part,
        infested_from_count=count,
        source=source,
        basis=basis,
        applies_note=table.text("applies_note", may_be_empty=True, default=""),
        plan=read_plan(table, kind, value),
    )


def read_plan(table: TomlTable, kind: ThresholdKind, value_percent: float) -> SequentialPlan | None:
    """The plan for looking on one part at a time, which a share infested must have and nothing else may."""
    if kind != "incidence_percent":
        for key in PLAN_KEYS:
            if key in table.values:
                raise table.fault(key, f"has no meaning for '{kind}'")
        return None
    p_leave, p_act = table.number("p_leave"), table.number("p_act")
    if not 0 < p_leave < p_act < 1:
        raise table.fault("p_act", "0, p_leave, p_act, 1 must rise in that order")
    if not p_leave <= value_percent / 100 <= p_act:
        raise table.fault("value", f"must lie between p_leave and p_act ({p_leave:.0%} to {p_act:.0%})")
    for key in ("alpha", "beta"):
        if not 0 < table.number(key) < 0.5:
            raise table.fault(key, "must be above 0 and below 0.5")
    source: str = NO_SOURCE
    basis: FileBasis = "common practice"
    if "plan_source" in table.values or "plan_basis" in table.values:
        source, basis = read_source(table, prefix="plan_")
    alpha, beta = table.number("alpha"), table.number("beta")
    most = table.whole("max_inspected", 5, 1000)
    return SequentialPlan(p_leave, p_act, alpha, beta, most, source, basis)


def read_relation(table: TomlTable, crop_keys: tuple[str, ...], inspect: tuple[str, ...]) -> DensityRelation:
    """One published line from the share infested to the mean count."""
    table.refuse_unknown(RELATION_KEYS)
    slope = table.number("slope")
    if slope <= 0:
        raise table.fault("slope", f"must be above 0, not {slope:g}")
    source, basis = read_source(table)
    return DensityRelation(
        crops=read_crop_keys(table, crop_keys),
        part=table.choice("part", inspect),
        tally=table.whole("tally", 0, 1000),
        intercept=table.number("intercept"),
        slope=slope,
        unit=table.text("unit"),
        source=source,
        basis=basis,
        applies_note=table.text("applies_note", may_be_empty=True, default=""),
    )
