"""Doubtful values of a visit: typing slips found before the bay is finished, each with words.

Nothing is refused or changed here; the scout decides, and an answer is remembered with the value.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from bayround import words
from bayround.agronomy import row_slips, slips
from bayround.crops.profile import CropProfile, ReadingField
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import MarkedPlant
from bayround.facts.rounds import Reading
from bayround.figures import sampled
from bayround.words import _

WORDS = {
    "below-lowest": "lower than usual for this field",
    "above-highest": "higher than usual for this field",
    "below-last-week": "lower than last time on this plant",
    "rose-too-much": "rose more than a plant can in this time",
    "out-of-line": "out of line with this plant and its neighbours",
    "row-repeated": "the same numbers as the row above",
    "row-skipped": "from here on the numbers fit the plant before: was a row skipped?",
    "row-doubled": "from here on the numbers fit the next plant: was a row keyed twice?",
    "tie-above-head": "the last tie is above the head",
}
SLIP = "was {expected} meant?"
ROW_EVIDENCE = 3.5
"""Log odds from which a shifted column is doubted (33 to 1); set on the seeded slips of `python -m tests.slips`."""

TELLING_FIELDS = 3
"""A row that repeats the one above is doubted when so many of its numbers are not zero: young plants read alike."""


@dataclass(frozen=True, slots=True)
class CellDoubt:
    """One doubtful cell: where, which rule, in words, and whether the scout has let it stand."""

    marked_plant_id: str
    plant_label: str
    field: str
    field_label: str
    value: float
    rule: str
    text: str
    answered: bool


def of_visit(past: BayPast, record: VisitRecord, profile: CropProfile) -> tuple[CellDoubt, ...]:
    """Return the doubts about a visit's readings, plant by plant in walking order, one a cell.

    A row that seems skipped or keyed twice goes before what is odd about the cell itself.
    """
    plants = [plant for plant in past.plants_on(record.day) if plant.id in record.readings]
    earlier = [seen for seen in past.visits if seen.visit.id != record.visit.id and seen.day < record.day]
    first_day = earlier[0].day if earlier else record.day
    found: list[CellDoubt] = []
    for field in profile.fields:
        column = _Column(
            field, sampled.values_of(record, field.key), _histories(earlier, field.key, first_day.toordinal())
        )
        found += _of_column(column, plants, float(record.day.toordinal() - first_day.toordinal()), record)
    found += _of_rows(plants, record, profile)
    places = {plant.id: place for place, plant in enumerate(plants)}
    order = {field.key: place for place, field in enumerate(profile.fields)}
    unique = {(doubt.marked_plant_id, doubt.field): doubt for doubt in reversed(found)}
    return tuple(
        sorted(unique.values(), key=lambda doubt: (places[doubt.marked_plant_id], order[doubt.field]))
    )


@dataclass(frozen=True, slots=True)
class _Column:
    field: ReadingField
    now: Mapping[str, float]
    histories: Mapping[str, list[tuple[float, float]]]


def limits_of(field: ReadingField) -> slips.FieldLimits:
    """Return what is known of a field beforehand, as the slip rules take it."""
    return slips.FieldLimits(
        lowest=field.soft_low,
        highest=field.soft_high,
        usual_spread=field.usual_spread,
        decimals=field.decimals,
        never_falls=field.monotone,
        counted=field.unit == "",
        largest_weekly_rise=field.max_rise_per_week,
        measuring_error=field.measuring_error,
        plant_spread=field.plant_spread,
    )


def _histories(
    earlier: Sequence[VisitRecord], field: str, first: int
) -> dict[str, list[tuple[float, float]]]:
    found: dict[str, list[tuple[float, float]]] = {}
    for record in earlier:
        for plant_id, value in sampled.values_of(record, field).items():
            series = found.setdefault(plant_id, [])
            day = float(record.day.toordinal() - first)
            if not series or series[-1][0] < day:
                series.append((day, value))
    return found


def _of_column(
    column: _Column, plants: Sequence[MarkedPlant], day: float, record: VisitRecord
) -> list[CellDoubt]:
    limits = limits_of(column.field)
    found = _of_order(column, plants, day, limits, record) if column.field.monotone else []
    for plant in plants:
        if plant.id not in column.now:
            continue
        value = column.now[plant.id]
        neighbours = [
            slips.Neighbour(
                other_value, column.histories[other][-1][1] if other in column.histories else None
            )
            for other, other_value in column.now.items()
            if other != plant.id
        ]
        doubts = slips.check_value(value, day, column.histories.get(plant.id, []), limits, neighbours)
        likely = [doubt for doubt in doubts if not _cannot_be(doubt, value, limits)]
        if likely:
            found.append(_cell(plant, column.field, value, likely[0], record))
    return found


def _cannot_be(doubt: slips.Doubt, value: float, limits: slips.FieldLimits) -> bool:
    """Tell whether a slip can't have made this value: no whole number times ten ends in anything but nought."""
    return doubt.rule == "ten-times" and limits.counted and value % 10 != 0


def _of_order(
    column: _Column, plants: Sequence[MarkedPlant], day: float, limits: slips.FieldLimits, record: VisitRecord
) -> list[CellDoubt]:
    values = [column.now.get(plant.id) for plant in plants]
    own = [slips.expect_from_past(column.histories.get(plant.id, []), day, limits) for plant in plants]
    expected = _moved_along(values, own)
    found = []
    for shifted in row_slips.check_row_order(values, expected, ROW_EVIDENCE):
        plant, value = plants[shifted.first_row], values[shifted.first_row]
        if value is not None:
            found.append(_cell(plant, column.field, value, shifted.doubt, record))
    return found


def _moved_along(
    values: Sequence[float | None], expected: Sequence[slips.Expectation | None]
) -> list[slips.Expectation | None]:
    """Return the expectations moved by what all plants have in common: another scout's eye, a warm week.

    Without this a bay read higher all over fits the next, taller plant better, and no row was skipped.
    """
    off = [
        value - one.centre for value, one in zip(values, expected, strict=True) if value is not None and one
    ]
    common = median(off) if off else 0.0
    return [replace(one, centre=one.centre + common) if one else None for one in expected]


def _of_rows(plants: Sequence[MarkedPlant], record: VisitRecord, profile: CropProfile) -> list[CellDoubt]:
    found = []
    above: list[float | None] | None = None
    for plant in plants:
        reading = record.readings[plant.id]
        row = [reading.value(field.key) for field in profile.fields]
        first = next((place for place, value in enumerate(row) if value is not None), None)
        tells = sum(1 for value in row if value) >= TELLING_FIELDS
        if above is not None and first is not None and tells:
            for doubt in row_slips.check_repeated_row(row, above):
                found.append(_cell(plant, profile.fields[first], row[first] or 0.0, doubt, record))
        found += _tie_above_head(plant, reading, record, profile)
        above = row
    return found


def _tie_above_head(
    plant: MarkedPlant, reading: Reading, record: VisitRecord, profile: CropProfile
) -> list[CellDoubt]:
    tie, height = reading.last_tie_cm, reading.height_cm
    if tie is None or height is None or tie <= height:
        return []
    doubt = slips.Doubt("out-of-line", None)
    return [_cell(plant, profile.field("last_tie_cm"), tie, doubt, record, "tie-above-head")]


def _cell(
    plant: MarkedPlant,
    field: ReadingField,
    value: float,
    doubt: slips.Doubt,
    record: VisitRecord,
    rule: str = "",
) -> CellDoubt:
    name = rule or str(doubt.rule)
    if name in WORDS:
        text = _(WORDS[name])
    else:
        text = _(SLIP).format(expected=words.number(doubt.expected or 0.0, field.decimals))
    answered = any(
        answer.marked_plant_id == plant.id and answer.field == field.key and answer.value == value
        for answer in record.answers
    )
    return CellDoubt(plant.id, plant.label, field.key, _(field.label), value, name, text, answered)
