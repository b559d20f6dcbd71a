"""A farm in memory that stands in for `bayround.actions.rounds` and `setup`: fast, and can be told to fail."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from functools import cache
from typing import Any

import factory
from bayround.actions.rounds import WalkStop
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Person
from bayround.facts.ids import new_id
from bayround.facts.kept import StandCount
from bayround.facts.problems import FarmFileProblem, Refused, TypedMeanwhile
from bayround.facts.rounds import PlantState, Reading, Round, Visit, VisitState
from bayround.facts.typed import Typed
from bayround.week import panel as week_panel
from bayround.week import visit_sheet

_crops = cache(load_crops)
FULL = FarmFileProblem("The disk is full.", "Nothing was changed.")


class FakeRounds:
    """Holds pasts and the visits of one round; every public method mirrors the action of that name."""

    def __init__(self, pasts: Sequence[BayPast], held_on: date) -> None:
        self.crops = _crops()
        self.pasts = {past.bay.id: past for past in pasts}
        self.people: tuple[Person, ...] = (factory.person(name="Alder"), factory.person(name="Birch"))
        self.all_rounds = [Round(factory.key(), held_on, self.people[0].id)]
        self.visits: dict[str, VisitRecord] = {}
        self.failing = False
        self.saves: list[tuple[str, tuple[object, ...]]] = []
        self.panels_read = 0
        self.with_panel = False
        """Whether the side panel is reckoned; without it most tests are twice as fast."""

    def _write(self, what: str, *given: object) -> None:
        if self.failing:
            raise FULL
        self.saves.append((what, given))

    def _compare(
        self, visit_id: str, typed: Typed | None, cells: dict[tuple[str, str], float | None]
    ) -> None:
        """Refuse, as the farm does, what would go over a value that was not seen."""
        for place, wanted in cells.items():
            now = self.value(visit_id, *place)
            if typed is not None and now not in (typed.seen[place], wanted):
                raise TypedMeanwhile(Refused("Changed."), place, now, wanted, self.people[1].id, typed.at)

    def rounds(self, _farm: object) -> tuple[Round, ...]:
        return tuple(sorted(self.all_rounds, key=lambda held: held.held_on, reverse=True))

    def start_round(
        self, _farm: object, held_on: date, scout_id: str, note: str = "", today: date | None = None
    ) -> Round:
        self._write("start_round", held_on, scout_id)
        begun = Round(factory.key(), held_on, scout_id, note)
        self.all_rounds.append(begun)
        return begun

    def walk(self, _farm: object, round_id: str) -> tuple[WalkStop, ...]:
        stops = []
        for past in self.pasts.values():
            seen = self._of(round_id, past.bay.id)
            assert past.planting is not None
            stops.append(
                WalkStop(
                    house=past.house,
                    bay=past.bay,
                    crop=past.planting.crop,
                    marked_plants=len(past.plants),
                    visit_id=seen.visit.id if seen else None,
                    state=seen.visit.state if seen else None,
                )
            )
        return tuple(stops)

    def open_visit(self, farm: object, round_id: str, bay_id: str, now: datetime) -> visit_sheet.VisitSheet:
        seen = self._of(round_id, bay_id)
        if seen is None:
            past = self.pasts[bay_id]
            held = next(held for held in self.all_rounds if held.id == round_id)
            assert past.planting is not None
            visit = Visit(
                factory.key(), round_id, bay_id, past.planting.id, held.held_on, held.scout_id, started_at=now
            )
            seen = VisitRecord(visit, {})
            self.visits[visit.id] = seen
        return self.read_sheet(farm, seen.visit.id)

    sheet_to_open = open_visit

    def begin(self, _farm: object, visit: Visit) -> str:
        """Every visit that is opened here is begun already."""
        return visit.id

    def read_sheet(self, _farm: object, visit_id: str, _blank: Visit | None = None) -> visit_sheet.VisitSheet:
        record = self.visits[visit_id]
        past = self.pasts[record.visit.bay_id]
        assert past.planting is not None
        profile = self.crops.profile(past.planting.crop)
        return visit_sheet.build(past, record, profile, self.crops.organisms)

    def read_panel(self, _farm: object, visit_id: str, _blank: Visit | None = None) -> visit_sheet.Panel:
        self.panels_read += 1
        record = self.visits[visit_id]
        if not self.with_panel:
            return visit_sheet.Panel((), (), ())
        return week_panel.build(self.pasts[record.visit.bay_id], record, self.crops)

    def save_cell(
        self,
        _farm: object,
        visit_id: str,
        plant_id: str,
        field: str,
        value: float | None,
        typed: Typed | None = None,
    ) -> None:
        self._compare(visit_id, typed, {(plant_id, field): value})
        self._write("save_cell", plant_id, field, value)
        self._set(visit_id, plant_id, **{field: value})

    def save_cells(
        self,
        _farm: object,
        visit_id: str,
        cells: Sequence[tuple[str, str, float | None]],
        typed: Typed | None = None,
    ) -> None:
        self._compare(visit_id, typed, {(plant, field): value for plant, field, value in cells})
        self._write("save_cells", *cells)
        for plant_id, field, value in cells:
            self._set(visit_id, plant_id, **{field: value})

    def save_plant_state(
        self, _farm: object, visit_id: str, plant_id: str, state: PlantState, _typed: Typed | None = None
    ) -> None:
        self._write("save_plant_state", plant_id, state)
        self._set(visit_id, plant_id, state=state)

    def save_check(self, _farm: object, check: Any, _typed: object = None) -> None:
        self._write("save_check", check)
        self._put(check, "checks")

    def save_card(self, _farm: object, card: Any, _typed: object = None) -> None:
        self._write("save_card", card)
        self._put(card, "cards")

    def save_weed(self, _farm: object, note: Any, _typed: object = None) -> None:
        self._write("save_weed", note)
        self._put(note, "weeds")

    def save_note(self, _farm: object, visit_id: str, note: str, _typed: object = None) -> None:
        self._write("save_note", note)
        record = self._draft(visit_id)
        self.visits[visit_id] = replace(record, visit=replace(record.visit, note=note))

    def let_stand(self, _farm: object, answer: Any) -> None:
        self._write("let_stand", answer)
        record = self._draft(answer.visit_id)
        self.visits[answer.visit_id] = replace(record, answers=(*record.answers, answer))

    def confirm_stand(self, _farm: object, visit_id: str, plants: int, _moment: object) -> None:
        self._write("confirm_stand", visit_id)
        visit = self.visits[visit_id].visit
        past = self.pasts[visit.bay_id]
        count = StandCount(new_id(), visit.planting_id, visit.visited_on, plants)
        self.pasts[visit.bay_id] = replace(past, stand_counts=(*past.stand_counts, count))

    def finish(self, _farm: object, visit_id: str, now: datetime) -> None:
        self._write("finish", visit_id)
        record = self._draft(visit_id)
        done = replace(record.visit, state=VisitState.DONE, finished_at=now)
        self.visits[visit_id] = replace(record, visit=done)

    def value(self, visit_id: str, plant_id: str, field: str) -> float | None:
        """What the farm holds in one cell."""
        reading = self.visits[visit_id].readings.get(plant_id)
        return reading.value(field) if reading else None

    def _of(self, round_id: str, bay_id: str) -> VisitRecord | None:
        found = (
            seen
            for seen in self.visits.values()
            if (seen.visit.round_id, seen.visit.bay_id) == (round_id, bay_id)
        )
        return next(found, None)

    def _draft(self, visit_id: str) -> VisitRecord:
        record = self.visits[visit_id]
        if record.visit.state is VisitState.DONE:
            raise Refused("This visit is finished.")
        return record

    def _set(self, visit_id: str, plant_id: str, **values: Any) -> None:
        record = self._draft(visit_id)
        reading = record.readings.get(plant_id, Reading(factory.key(), visit_id, plant_id))
        readings = {**record.readings, plant_id: replace(reading, **values)}
        self.visits[visit_id] = replace(record, readings=readings)

    def _put(self, row: Any, place: str) -> None:
        record = self._draft(row.visit_id)
        rows = [kept for kept in getattr(record, place) if kept.id != row.id]
        self.visits[row.visit_id] = replace(record, **{place: (*rows, row)})
