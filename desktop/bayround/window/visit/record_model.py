"""Base of the small tables (checks, cards, weeds): each row becomes a record as soon as it holds enough."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QObject, Qt, Signal

from bayround.facts.rounds import VisitState
from bayround.week.visit_sheet import VisitSheet
from bayround.window.parts.number_entry import refusal, shown
from bayround.window.visit.corrected_words import told
from bayround.window.visit.entry_model import NOWHERE, CellLook, EntryModel, Index, Mark, Takes, Value
from bayround.window.visit.record_row import Column, Record, RecordRow
from bayround.words import _


class RecordModel(EntryModel):
    """Rows of one kind of record. Subclasses say what a cell takes and how a row becomes a record.

    Signals:
        record_typed: the record before (or none) and the record now, whenever a row holds enough.
        record_removed: a record that was taken out of its row.
    """

    record_typed = Signal(object, object)
    record_removed = Signal(object)
    columns: tuple[Column, ...] = ()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.sheet: VisitSheet | None = None
        self.rows: list[RecordRow] = []
        self.waiting: frozenset[str] = frozenset()
        self.resting = ""
        """Why nothing more is taken for the moment."""
        self._not_saved: frozenset[str] = frozenset()

    def show(self, sheet: VisitSheet | None, waiting: Collection[str] = ()) -> None:
        """Show a sheet's records; rows in *waiting* and rows half typed keep what was typed."""
        same_visit = sheet is not None and self.sheet is not None and sheet.visit.id == self.sheet.visit.id
        self.waiting = frozenset(waiting)
        kept = {row.id: row for row in self.rows if same_visit and (row.id in waiting or row.begun)}
        history_changed = (
            self.sheet is not None and sheet is not None and sheet.corrected != self.sheet.corrected
        )
        self.sheet = sheet
        rows = [kept.get(row.id, row) for row in self.rows_of(sheet)] if sheet is not None else []
        if same_visit and [row.id for row in rows] == [row.id for row in self.rows]:
            before, self.rows = self.rows, rows
            for place, row in enumerate(rows):
                if row.values != before[place].values or history_changed:
                    self.row_changed(place)
            return
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rows_of(self, sheet: VisitSheet) -> list[RecordRow]:
        """Return the rows for a sheet; a row that stays must keep its id."""
        raise NotImplementedError

    def record_of(self, row: RecordRow) -> Record | None:
        """Return the record a row holds, or none while something is missing."""
        raise NotImplementedError

    def usual(self, row: RecordRow, key: str) -> Value:
        """Return the value a cell offers, or none."""
        return None

    def show_not_saved(self, ids: Collection[str]) -> None:
        """Mark the rows whose record could not be saved yet."""
        changed = self._not_saved ^ frozenset(ids)
        self._not_saved = frozenset(ids)
        for place, row in enumerate(self.rows):
            if row.id in changed:
                self.row_changed(place)

    @property
    def half_typed(self) -> list[int]:
        """Rows that hold a number and not enough for a record."""
        needed = [column.key for column in self.columns if column.needed]
        return [
            place
            for place, row in enumerate(self.rows)
            if row.begun and any(row.values.get(key) not in (None, "") for key in needed)
        ]

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """One row a record, kept or still to be typed."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        """The columns of the kind."""
        return 0 if parent.isValid() else len(self.columns)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the heading of a column."""
        if orientation == Qt.Orientation.Vertical:
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if column.words else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        return _(column.heading or column.label) if role == Qt.ItemDataRole.DisplayRole else None

    def row(self, index: Index) -> RecordRow:
        """Return the row of a cell."""
        return self.rows[index.row()]

    def key(self, index: Index) -> str:
        """Return the key of a cell's column."""
        return self.columns[index.column()].key

    @property
    def shut(self) -> bool:
        """Whether nothing can be typed."""
        return bool(self.resting) or self.sheet is None

    def takes(self, index: Index) -> Takes:
        """Return what a cell takes now: nothing while the table rests."""
        return Takes.NOTHING if self.shut else self.kind(index)

    def kind(self, index: Index) -> Takes:
        """Return what a cell takes when the table does not rest."""
        raise NotImplementedError

    def value(self, index: Index) -> Value:
        """Return what stands in a cell."""
        return self.row(index).values.get(self.key(index))

    def offered(self, index: Index) -> Value:
        """Return the value ``+`` takes over."""
        return self.usual(self.row(index), self.key(index))

    def worded(self, index: Index, value: Value) -> str:
        """Return a value as it stands in a cell."""
        if isinstance(value, float | int):
            decimals = self.rule(index).decimals if self.kind(index) is Takes.NUMBER else 0
            return shown(float(value), decimals)
        words = dict(self.choices(index))
        return words.get(value or "", value or "")

    def look(self, index: Index) -> CellLook:
        """Return what is painted in a cell."""
        row, column = self.row(index), self.columns[index.column()]
        text, faint = self.worded(index, self.value(index)), self.worded(index, self.offered(index))
        if not text and column.needed and row.begun:
            faint = _("needed")
        mark = Mark.CORRECTED if text and self.history(index) else Mark.NONE
        if row.id in self._not_saved and column.needed:
            mark = Mark.NOT_SAVED
        words = self.kind(index) is not Takes.NUMBER
        shut = self.kind(index) is Takes.NOTHING and not text
        return CellLook(text, "" if text else faint, mark, shut, words)

    def spoken(self, index: Index) -> str:
        """Return a cell in words."""
        look, column = self.look(index), self.columns[index.column()]
        head = f"{self.name_of(self.row(index))}, {_(column.label)}"
        parts = (f"{head}: {look.text or look.faint or _('empty')}", self.history(index))
        return "; ".join(part for part in parts if part)

    def history(self, index: Index) -> str:
        """Return what a cell was before it was corrected."""
        if self.sheet is None:
            return ""
        number = self.kind(index) is Takes.NUMBER
        return told(
            self.sheet.corrections_of(self.row(index).id, self.key(index)),
            lambda text: self.worded(index, float(text) if number and text else text),
        )

    def name_of(self, row: RecordRow) -> str:
        """Return what a row is about, in words."""
        raise NotImplementedError

    def put(self, index: Index, value: Value) -> bool:
        """Take a value; the record goes on to be saved as soon as the row holds enough."""
        takes = self.takes(index)
        if takes is Takes.NOTHING:
            self.said.emit(self.resting or _("Nothing can be typed in this cell; Enter goes to the next."))
            return False
        if takes is Takes.NUMBER and value is not None:
            why = refusal(float(value), self.rule(index))
            if why:
                self.said.emit(why)
                return False
        return self.put_values(index.row(), {self.key(index): value})

    def put_values(self, place: int, values: dict[str, Value]) -> bool:
        """Take several checked values of one row at once."""
        row = self.rows[place]
        if all(row.values.get(key) == value for key, value in values.items()):
            return True
        needed = {column.key for column in self.columns if column.needed}
        if row.record is not None and any(
            value in (None, "") for key, value in values.items() if key in needed
        ):
            self.said.emit(_("This number is needed; type 0 when there is none."))
            return False
        row.values.update(values)
        record = self.record_of(row)
        row.begun = record is None
        if record is not None and record != row.record:
            before, row.record = row.record, record
            self.record_typed.emit(before, record)
        self.row_changed(place)
        return True

    def put_record(self, record: Record) -> None:
        """Put an earlier record back (undo), also one that was taken out."""
        place = self.place_of(record.id)
        if place is not None:
            self.put_values(place, self.values_of(record))
        else:
            self.record_typed.emit(None, record)

    def clear(self, index: Index) -> None:
        """Delete: take the row's record out; a row that is half typed is emptied."""
        row = self.row(index)
        if self.shut or row.record is None:
            self.drop(index.row())
            self.said.emit(self.resting or _("{name}: nothing is kept here.").format(name=self.name_of(row)))
        elif self.sheet is not None and self.sheet.visit.state is VisitState.DONE:
            self.said.emit(_("What a finished bay holds is not taken out; put its numbers right instead."))
        else:
            removed, row.record = row.record, None
            self.drop(index.row())
            self.record_removed.emit(removed)

    def drop(self, place: int) -> None:
        """Empty a row that is half typed: its numbers go, what it is about stays."""
        row = self.rows[place]
        if row.record is None:
            row.values = {key: value for key, value in row.values.items() if isinstance(value, str)}
            row.begun = False
            self.row_changed(place)

    def values_of(self, record: Record) -> dict[str, Value]:
        """Return the cells of a record."""
        return {
            column.key: getattr(record, column.key) for column in self.columns if hasattr(record, column.key)
        }

    def place_of(self, record_id: str) -> int | None:
        """Return the row of a record."""
        return next((place for place, row in enumerate(self.rows) if row.id == record_id), None)
