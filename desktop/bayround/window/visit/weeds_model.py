"""Weeds: how much of the ground they cover, whether they seed, and where."""

from __future__ import annotations

from PySide6.QtCore import QObject

from bayround.facts.ids import new_id
from bayround.facts.rounds import WeedNote
from bayround.week.visit_sheet import VisitSheet
from bayround.window.parts.number_entry import NumberRule
from bayround.window.visit.entry_model import Index, Takes, Value
from bayround.window.visit.record_model import RecordModel
from bayround.window.visit.record_row import Column, RecordRow
from bayround.words import _


class WeedsModel(RecordModel):
    """One note of the whole bay; a bay that holds several notes shows them all."""

    columns = (
        Column("cover_percent", "Cover", "Cover %", needed=True),
        Column("seeding", "Seeding", words=True),
        Column("species", "Which", words=True),
        Column("where", "Where", words=True),
    )

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._new_ids: dict[str, str] = {}

    def rows_of(self, sheet: VisitSheet) -> list[RecordRow]:
        """Return the notes of the visit, or one empty row."""
        rows = [RecordRow(note.id, self.values_of(note), note) for note in sheet.weeds]
        if rows:
            return rows
        return [RecordRow(self._new_ids.setdefault(sheet.visit.id, new_id()), {})]

    def values_of(self, record: object) -> dict[str, Value]:
        """Return the cells of a note; seeding is a choice of two."""
        if not isinstance(record, WeedNote):
            raise TypeError(type(record))
        seeding = "yes" if record.seeding else "no"
        return {
            "cover_percent": record.cover_percent,
            "seeding": seeding,
            "species": record.species,
            "where": record.where,
        }

    def kind(self, index: Index) -> Takes:
        """Cover is a number, seeding a choice, the rest words."""
        return {"cover_percent": Takes.NUMBER, "seeding": Takes.CHOICE}.get(self.key(index), Takes.TEXT)

    def is_stop(self, index: Index) -> bool:
        """Enter stops at cover; where there are weeds also at seeding, which and where."""
        cover = self.row(index).values.get("cover_percent")
        return not self.shut and (self.key(index) == "cover_percent" or bool(cover))

    def rule(self, index: Index) -> NumberRule:
        """Return the limits of the cover."""
        return NumberRule(_("Weed cover"), "%", 0, 0.0, 100.0, 0.0, 100.0)

    def choices(self, index: Index) -> tuple[tuple[str, str], ...]:
        """Seeding: no or yes."""
        return (("no", _("no")), ("yes", _("yes"))) if self.key(index) == "seeding" else ()

    def usual(self, row: RecordRow, key: str) -> Value:
        """Weeds are taken not to seed unless said."""
        return "no" if key == "seeding" else None

    def name_of(self, row: RecordRow) -> str:
        """Return what the row is about."""
        return _("Weeds")

    def record_of(self, row: RecordRow) -> WeedNote | None:
        """Return the note when the cover is there."""
        values = row.values
        if values.get("cover_percent") is None or self.sheet is None:
            return None
        return WeedNote(
            id=row.id,
            visit_id=self.sheet.visit.id,
            cover_percent=float(values["cover_percent"] or 0),
            seeding=values.get("seeding") == "yes",
            species=str(values.get("species") or ""),
            where=str(values.get("where") or ""),
        )
