"""The sheet of a visit together with what was typed since it was read. Plain values, no window."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from bayround.crops.profile import ReadingField
from bayround.facts.rounds import PlantState, VisitState
from bayround.figures.doubts import CellDoubt
from bayround.week.visit_sheet import Corrected, SheetRow, VisitSheet
from bayround.window.parts.number_entry import NumberRule, shown
from bayround.window.visit.corrected_words import told
from bayround.window.visit.entry_model import CellLook, Mark
from bayround.window.visit.field_rules import reading_rule
from bayround.words import MISSING, _

Cell = tuple[str, str]
"""Marked plant and field: the name of a cell that outlives a change of the sheet."""


@dataclass(frozen=True, slots=True)
class CellChange:
    """One cell as it was and as it is now."""

    cell: Cell
    before: float | None
    after: float | None


class SheetInHand:
    """Answers for every cell of a sheet: what was typed goes before what was read."""

    def __init__(self, sheet: VisitSheet) -> None:
        self.sheet = sheet
        self.typed: dict[Cell, float | None] = {}
        self.states: dict[str, PlantState] = {}
        self.left_out: set[Cell] = set()
        self.not_saved: frozenset[Cell] = frozenset()
        self.resting = ""
        """Why nothing more is taken for the moment."""
        self._doubts = _by_cell(sheet.doubts)

    def read_again(
        self, sheet: VisitSheet, waiting: Collection[Cell], states: Collection[str]
    ) -> list[int] | None:
        """Take a newer reading of the same sheet; cells in *waiting* and plants in *states* keep what was typed.

        Returns the rows that look different now; none, and takes nothing, when it is another sheet or its
        plants or fields changed.
        """
        if _frame(sheet) != _frame(self.sheet):
            return None
        before = [self._seen(row) for row in range(len(sheet.rows))]
        self.sheet = sheet
        self.typed = {cell: value for cell, value in self.typed.items() if cell in waiting}
        self.states = {plant: state for plant, state in self.states.items() if plant in states}
        self._doubts = _by_cell(sheet.doubts)
        return [row for row, seen in enumerate(before) if seen != self._seen(row)]

    def _seen(self, row: int) -> tuple[object, ...]:
        """What can be seen of a row."""
        columns = range(len(self.sheet.fields))
        cells = [
            (
                self.value(row, column),
                self.last(row, column),
                self.doubt(row, column),
                self._corrected(row, column),
            )
            for column in columns
        ]
        return self.state(row), *cells

    @property
    def done(self) -> bool:
        """Whether the visit is finished."""
        return self.sheet.visit.state is VisitState.DONE

    def row(self, row: int) -> SheetRow:
        """Return a marked plant with what was read before."""
        return self.sheet.rows[row]

    def field(self, column: int) -> ReadingField:
        """Return the field of a column."""
        return self.sheet.fields[column]

    def cell(self, row: int, column: int) -> Cell:
        """Return the name of a cell."""
        return self.row(row).plant.id, self.field(column).key

    def place(self, cell: Cell) -> tuple[int, int] | None:
        """Return row and column of a cell, or none when it is not on the sheet."""
        row = next((place for place, found in enumerate(self.sheet.rows) if found.plant.id == cell[0]), None)
        column = next((place for place, found in enumerate(self.sheet.fields) if found.key == cell[1]), None)
        return None if row is None or column is None else (row, column)

    def state(self, row: int) -> PlantState:
        """Return what was found in place of a plant."""
        plant_id, reading = self.row(row).plant.id, self.row(row).reading
        return self.states.get(plant_id, reading.state if reading else PlantState.STANDING)

    def shut(self, row: int) -> bool:
        """Tell whether nothing can be keyed into a row."""
        return bool(self.resting) or self.state(row) is not PlantState.STANDING

    def value(self, row: int, column: int) -> float | None:
        """Return the number in a cell."""
        cell, reading = self.cell(row, column), self.row(row).reading
        if cell in self.typed:
            return self.typed[cell]
        return reading.value(cell[1]) if reading else None

    def last(self, row: int, column: int) -> float | None:
        """Return last visit's number."""
        last = self.row(row).last
        return last.value(self.field(column).key) if last else None

    def rule(self, row: int, column: int) -> NumberRule:
        """Return the limits of a cell."""
        since = self.sheet.last_visit_on
        weeks = (self.sheet.visit.visited_on - since).days / 7 if since else 1.0
        return reading_rule(self.field(column), self.row(row).plant, self.last(row, column), weeks)

    def doubt(self, row: int, column: int) -> CellDoubt | None:
        """Return the doubt about the number that stands in a cell now."""
        found = self._doubts.get(self.cell(row, column))
        return found if found is not None and found.value == self.value(row, column) else None

    def _corrected(self, row: int, column: int) -> tuple[Corrected, ...]:
        reading = self.row(row).reading
        return () if reading is None else self.sheet.corrections_of(reading.id, self.field(column).key)

    def history(self, row: int, column: int) -> str:
        """Return what a cell, and what was found in place of its plant, were before they were corrected."""
        field, reading = self.field(column), self.row(row).reading
        told_cell = told(
            self._corrected(row, column), lambda text: shown(float(text), field.decimals) if text else ""
        )
        states = self.sheet.corrections_of(reading.id, "state") if reading else ()
        told_state = told([entry for entry in states if entry.field], lambda text: _(text))
        return "; ".join(part for part in (told_cell, told_state) if part)

    def empty_cells(self) -> list[tuple[int, int]]:
        """Return the cells of standing plants that are still asked for, in walking order."""
        return [
            (row, column)
            for row in range(len(self.sheet.rows))
            if self.state(row) is PlantState.STANDING
            for column in range(len(self.sheet.fields))
            if self.value(row, column) is None and self.cell(row, column) not in self.left_out
        ]

    def look(self, row: int, column: int) -> CellLook:
        """Return what is painted in a cell."""
        decimals = self.field(column).decimals
        faint, state = shown(self.last(row, column), decimals), self.state(row)
        if state is not PlantState.STANDING and column == 0:
            return CellLook(_(state.value), faint, shut=True)
        text = shown(self.value(row, column), decimals)
        if not text and self.cell(row, column) in self.left_out:
            text = MISSING
        return CellLook(text, faint, self._mark(row, column), shut=state is not PlantState.STANDING)

    def chosen_for(self, row: int) -> str:
        """Return that a plant was chosen for what is on it; nothing of one that was drawn."""
        aside = self.row(row).plant.id in self.sheet.aside
        return _("chosen for what is on it: in no mean") if aside else ""

    def spoken(self, row: int, column: int) -> str:
        """Return a cell in words."""
        field, look, doubt = self.field(column), self.look(row, column), self.doubt(row, column)
        head = _("{field}, plant {plant}").format(field=_(field.label), plant=self.row(row).plant.label)
        value = f"{look.text} {field.unit}".strip() if look.text else _("empty")
        parts = [f"{head}: {value}", *filter(None, (self.chosen_for(row),))]
        if look.faint:
            parts.append(_("last visit {value}").format(value=look.faint))
        if doubt is not None:
            parts.append(
                (_("let stand: {why}") if doubt.answered else _("doubtful: {why}")).format(why=doubt.text)
            )
        history = self.history(row, column)
        if history:
            parts.append(history)
        if look.mark is Mark.NOT_SAVED:
            parts.append(_("not saved yet"))
        return "; ".join(parts)

    def why_shut(self, row: int) -> str:
        """Return why a row takes nothing."""
        if self.resting:
            return self.resting
        state = self.state(row)
        key = "S" if state is PlantState.SKIPPED else "X"
        return _("This plant is marked as {state}; {key} again takes that back.").format(
            state=_(state.value), key=key
        )

    def _mark(self, row: int, column: int) -> Mark:
        if self.cell(row, column) in self.not_saved:
            return Mark.NOT_SAVED
        doubt = self.doubt(row, column)
        if doubt is not None and not doubt.answered:
            return Mark.DOUBTFUL
        if self._corrected(row, column) and self.value(row, column) is not None:
            return Mark.CORRECTED
        return Mark.NONE if doubt is None else Mark.LET_STAND


def _by_cell(doubts: Collection[CellDoubt]) -> dict[Cell, CellDoubt]:
    return {(doubt.marked_plant_id, doubt.field): doubt for doubt in doubts}


def _frame(sheet: VisitSheet) -> tuple[object, ...]:
    """What must be equal for two sheets to differ in their cells only."""
    plants = tuple(row.plant.id for row in sheet.rows)
    return sheet.visit.id, sheet.visit.state, plants, tuple(field.key for field in sheet.fields)
