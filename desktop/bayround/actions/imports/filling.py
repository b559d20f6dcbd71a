"""One bay's visit being filled from a file: what is there already is compared, never written over unseen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import date
from typing import Any, cast

from bayround import words
from bayround.actions.imports.preview import Item, State
from bayround.crops.profile import CropProfile, ReadingField
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import MarkedPlant
from bayround.facts.ids import new_id
from bayround.facts.rounds import (
    CardCount,
    PestCheck,
    PlantState,
    Reading,
    Round,
    VisitState,
    WeedNote,
)
from bayround.figures import doubts
from bayround.paper.imports import typed
from bayround.paper.imports.grid import Fault, Value
from bayround.records.codec import kind_of
from bayround.records.write_imports import ValueChange
from bayround.words import _

FINISHED = "the visit is finished; correct it under Visit, with a reason"
IN_DRAFT = "it goes into the draft and is asked about there"


@dataclass(slots=True)
class Filling:
    """One visit: *record* is what the file has of it, or an empty new draft; *begun*: it has it already."""

    name: str
    past: BayPast
    profile: CropProfile
    record: VisitRecord
    begun: bool
    round_: Round | None = None
    items: list[Item] = field(default_factory=list)
    readings: dict[str, Reading] = field(default_factory=dict)
    seen: list[PestCheck | CardCount | WeedNote] = field(default_factory=list)
    changes: list[ValueChange] = field(default_factory=list)
    told: set[tuple[str, str]] = field(default_factory=set)
    compared: set[str] = field(default_factory=set)

    @property
    def done(self) -> bool:
        """Whether the visit is finished."""
        return self.record.visit.state is VisitState.DONE

    def _say(self, state: State, what: str, why: str = "") -> None:
        self.items.append(Item(state, self.name, what, why))

    def doubt(self, what: str, why: str) -> None:
        """Add a line about something that is taken, but not as it stands."""
        self._say(State.DOUBTFUL, what, why)

    def refuse(self, what: str, why: str) -> None:
        """Add a line that is not taken."""
        self._say(State.REFUSED, what, why)

    def reading(
        self, plant: MarkedPlant, values: dict[str, Value], note: str, state: PlantState | None
    ) -> None:
        """Take one plant's row: *values* by field as they stand in the file, empty ones left out."""
        label = _("plant {n}").format(n=plant.number)
        wanted: dict[str, Any] = {}
        remarks = [note] if note else []
        for spec in self.profile.fields:
            value = values.get(spec.key)
            if value is None:
                continue
            number, why = number_for(spec, value)
            if number is not None:
                wanted[spec.key] = number
            elif isinstance(value, str) and why == "":
                remarks.append(f"{_(spec.label)}: {value}")
                shown = f"{label}, {_(spec.label)}: “{value}”"
                self._say(State.DOUBTFUL, shown, _("words where a number belongs; kept as a note"))
            else:
                self.refuse(f"{label}, {_(spec.label)}: {shown_value(value)}", why)
        if remarks:
            wanted["note"] = " · ".join(remarks)
        if state is not None and state is not PlantState.STANDING:
            wanted["state"] = state
        if wanted:
            self._compare_reading(plant, label, wanted)

    def _compare_reading(self, plant: MarkedPlant, label: str, wanted: dict[str, Any]) -> None:
        there = self.record.readings.get(plant.id)
        if there is None and not self.done:
            base = self.readings.get(plant.id) or Reading(new_id(), self.record.visit.id, plant.id)
            self.readings[plant.id] = replace(base, **wanted)
            self._say(State.NEW, f"{label}: {self._list(wanted)}")
            return
        self._compare(there, label, wanted, "reading")

    def _compare(self, there: Any, label: str, wanted: dict[str, Any], table: str) -> None:
        """Compare values with a record that is there; empty fields of a draft are filled, others changed."""
        if there is None:
            self.refuse(f"{label}: {self._list(wanted)}", _(FINISHED))
            return
        if wanted.get("note"):
            wanted = {**wanted, "note": _joined(there.note, wanted["note"])}
        new: dict[str, Any] = {}
        changed: dict[str, Any] = {}
        for name, value in wanted.items():
            before = getattr(there, name)
            if before != value:
                (new if before in (None, "") else changed)[name] = value
        if not new and not changed:
            self._say(State.SAME, label)
            return
        if self.done:
            self.refuse(f"{label}: {self._list({**new, **changed})}", _(FINISHED))
            return
        if new:
            self._say(State.NEW, f"{label}: {self._list(new)}")
        for name, value in changed.items():
            before, after = shown_value(getattr(there, name)), shown_value(value)
            self._say(State.CHANGED, f"{label}, {self._name(name)}: {before} → {after}")
        for name, value in {**new, **changed}.items():
            self.changes.append(ValueChange(table, there.id, name, getattr(there, name), value))

    def _list(self, wanted: dict[str, Any]) -> str:
        return ", ".join(f"{self._name(name)} {shown_value(value)}" for name, value in wanted.items())

    def _name(self, name: str) -> str:
        labels = {spec.key: spec.label for spec in self.profile.fields}
        return _(labels.get(name, name.replace("_", " ")))

    def record_seen(self, one: PestCheck | CardCount | WeedNote, label: str) -> None:
        """Take a check, card or weed note; the same one that is there is compared field by field."""
        alike = [each for each in self._there(one) if each.id not in self.compared and _same(each, one)]
        if isinstance(one, WeedNote) and len(alike) > 1:
            alike = [each for each in alike if not _other_weeds(each, one)]
        there = max(alike, key=lambda each: _likeness(each, one), default=None)
        self.compared.update({there.id} if there else ())
        if there is None and not self.done:
            self.seen.append(one)
            self._say(State.NEW, label)
            return
        fixed = {"id", "visit_id"}
        wanted = {
            each.name: getattr(one, each.name)
            for each in fields(one)
            if each.name not in fixed and getattr(one, each.name) not in (None, "")
        }
        self._compare(there, label, wanted, kind_of(type(one)).table.name)

    def _there(self, one: object) -> Sequence[Any]:
        if isinstance(one, PestCheck):
            return self.record.checks
        return self.record.cards if isinstance(one, CardCount) else self.record.weeds

    def note(self, text: str) -> None:
        """Take the note on the whole visit."""
        label = _("note")
        before = self.record.visit.note
        if _joined(before, text) == before:
            self._say(State.SAME, label)
        elif self.done:
            self.refuse(f"{label}: {text}", _(FINISHED))
        else:
            after = _joined(before, text)
            visit = replace(self.record.visit, note=after)
            if self.begun:
                self.changes.append(ValueChange("visit", visit.id, "note", before, after))
            self.record = replace(self.record, visit=visit)
            self._say(State.CHANGED if before else State.NEW, f"{label}: {text}")

    def end(self, *, finish: bool = False) -> tuple[list[Item], list[object], list[ValueChange]]:
        """Return the lines and what is to be written; with *finish* a new visit without doubts is done."""
        new = [*self.readings.values(), *self.seen]
        found = self._doubts()
        for text in found:
            self._say(State.DOUBTFUL, text, _(IN_DRAFT))
        if self.begun:
            return self.items, list(new), self.changes
        if not new and not self.record.visit.note:
            return self.items, [], []
        visit = self.record.visit
        uncertain = any(item.state in {State.DOUBTFUL, State.REFUSED} for item in self.items)
        if finish and not uncertain:
            visit = replace(visit, state=VisitState.DONE, finished_at=visit.started_at)
        return self.items, [visit, *new], []

    def _doubts(self) -> list[str]:
        if self.done:
            return []
        readings = {**self.record.readings, **self.readings}
        by_id = {one.id: plant for plant, one in readings.items()}
        touched = set(self.readings)
        for change in self.changes:
            plant = by_id.get(change.row_id)
            if plant is not None and change.table_name == "reading":
                readings[plant] = replace(readings[plant], **{change.field: cast(Any, change.after)})
                touched.add(plant)
        full = replace(self.record, readings=readings)
        return [
            _("plant {plant}, {field}: {value}: {text}").format(
                plant=one.plant_label, field=_(one.field_label), value=shown_value(one.value), text=one.text
            )
            for one in doubts.of_visit(self.past, full, self.profile)
            if not one.answered and one.marked_plant_id in touched
        ]


def number_for(spec: ReadingField, value: Value) -> tuple[float | None, str]:
    """Return the number in a cell of a field, or none and why (no reason: the cell holds words)."""
    if isinstance(value, Fault):
        return None, value.why
    number = typed.number(value, frozenset({spec.unit.casefold()} - {""}))
    if number is None:
        return None, "" if isinstance(value, str) else _("not a number")
    if not spec.hard_low <= number <= spec.hard_high:
        why = _("can't be right: {low} to {high} {unit}").format(
            low=shown_value(spec.hard_low), high=shown_value(spec.hard_high), unit=spec.unit
        )
        return None, why.strip()
    if not spec.unit and number != round(number):
        return None, _("a count is a whole number")
    return number, ""


def shown_value(value: object) -> str:
    """Return a value as a preview shows it."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, float | int):
        return (
            words.number(float(value), 3).rstrip("0").rstrip(".,")
            if value != round(value)
            else str(round(value))
        )
    if isinstance(value, date):
        return words.day(value)
    return value.why if isinstance(value, Fault) else str(value)


def _likeness(there: Any, one: Any) -> tuple[bool, int]:
    """Return how well a record of the file fits one that is there: the same words first, then most values alike."""
    said = [each.name for each in fields(one) if getattr(one, each.name) not in (None, "")]
    alike = [name for name in said if getattr(there, name) == getattr(one, name)]
    names = {"species", "where"} & set(said)
    return names <= set(alike), len(alike)


def _same(there: Any, one: Any) -> bool:
    if isinstance(one, PestCheck):
        return bool((there.organism, there.inspected_part) == (one.organism, one.inspected_part))
    if isinstance(one, CardCount):
        return bool((there.card, there.organism) == (one.card, one.organism))
    return True


def _other_weeds(there: Any, one: Any) -> bool:
    """Tell whether two weed notes name other weeds, or other places; where one says nothing they do not."""
    said = [(getattr(there, name), getattr(one, name)) for name in ("species", "where")]
    return any(before and after and before.casefold() != after.casefold() for before, after in said)


def _joined(before: str, text: str) -> str:
    """Add a remark to what is there, unless it holds it already."""
    if f" · {text} · " in f" · {before} · ":
        return before
    return f"{before} · {text}" if before else text
