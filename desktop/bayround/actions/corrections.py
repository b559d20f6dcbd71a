"""Put a finished visit right: a new value and a reason; what was there before is kept and can be seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.ids import new_id
from bayround.facts.rounds import CardCount, PestCheck, PlantState, Reading, WeedNote
from bayround.facts.work import Correction
from bayround.records import corrections, read_visit
from bayround.records.corrections import Change

Record = PestCheck | CardCount | WeedNote

USUAL_REASONS = ("misread", "digits turned round", "wrong plant or row", "was left out", "counted again")

_TABLES = {PestCheck: "pest_check", CardCount: "card_count", WeedNote: "weed_note"}


@dataclass(frozen=True, slots=True)
class CellCorrection:
    """One cell of a finished visit: the number the person saw there, and the right one."""

    marked_plant_id: str
    field: str
    before: float | None
    after: float | None


def correct_cells(
    farm: OpenFarm, visit_id: str, cells: Sequence[CellCorrection], moment: Moment, reason: str
) -> tuple[Correction, ...]:
    """Correct a block of cells, all or none; a plant that was left out is added with its numbers.

    Raises:
        Refused: without a reason, in a draft, or when a number breaks a rule of the table.
        Overtaken: when a cell no longer holds what the person saw.
        KeyError: when there is no such visit, plant of its planting, or field.
    """
    by_plant: dict[str, list[CellCorrection]] = {}
    for cell in cells:
        by_plant.setdefault(cell.marked_plant_id, []).append(cell)
    before = {plant: {cell.field: cell.before for cell in own} for plant, own in by_plant.items()}
    after = {plant: {cell.field: cell.after for cell in own} for plant, own in by_plant.items()}
    return _correct_readings(farm, visit_id, before, after, moment, reason)


def correct_state(
    farm: OpenFarm,
    visit_id: str,
    marked_plant_id: str,
    before: PlantState,
    after: PlantState,
    moment: Moment,
    reason: str,
) -> tuple[Correction, ...]:
    """Correct what was found in place of a plant; errors as `correct_cells`."""
    seen, values = {marked_plant_id: {"state": before}}, {marked_plant_id: {"state": after}}
    return _correct_readings(farm, visit_id, seen, values, moment, reason)


def correct_record(
    farm: OpenFarm, before: Record | None, after: Record, moment: Moment, reason: str
) -> tuple[Correction, ...]:
    """Correct a check, card or weed note, or add one that was left out (*before*: none).

    Raises:
        Refused, Overtaken: as `correct_cells`. KeyError: when the record is not in the file.
    """
    late = [after] if before is None else []
    changes = []
    if before is not None:
        names = [one.name for one in fields(after) if getattr(before, one.name) != getattr(after, one.name)]
        seen = {name: getattr(before, name) for name in names}
        values = {name: getattr(after, name) for name in names}
        changes.append(Change(_TABLES[type(after)], after.id, values, seen))
    return corrections.correct_all(farm.store, changes, moment.person_id, moment.now, reason, late)


def correct_note(
    farm: OpenFarm, visit_id: str, before: str, after: str, moment: Moment, reason: str
) -> tuple[Correction, ...]:
    """Correct the note of a finished visit; errors as `correct_cells`."""
    change = Change("visit", visit_id, {"note": after}, {"note": before})
    return corrections.correct_all(farm.store, [change], moment.person_id, moment.now, reason)


def _correct_readings(
    farm: OpenFarm,
    visit_id: str,
    before: dict[str, dict[str, Any]],
    after: dict[str, dict[str, Any]],
    moment: Moment,
    reason: str,
) -> tuple[Correction, ...]:
    known = {
        reading.marked_plant_id: reading.id
        for reading in read_visit.read_visit(farm.store, visit_id).readings
    }
    changes, late = [], []
    for plant, values in after.items():
        if plant in known:
            changes.append(Change("reading", known[plant], values, before[plant]))
        else:
            late.append(Reading(new_id(), visit_id, plant, **values))
    return corrections.correct_all(farm.store, changes, moment.person_id, moment.now, reason, late)
