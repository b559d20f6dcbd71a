"""Pests and disease: one row an organism to look for, with the part, how many looked at and how many hit."""

from __future__ import annotations

from PySide6.QtCore import QObject

from bayround.facts.ids import new_id
from bayround.facts.rounds import PestCheck
from bayround.week.visit_sheet import LookFor, VisitSheet
from bayround.window.parts.number_entry import NumberRule
from bayround.window.visit.entry_model import Index, Takes, Value
from bayround.window.visit.record_model import RecordModel
from bayround.window.visit.record_row import Column, RecordRow
from bayround.words import _

MOST_INSPECTED = 9_999
MOST_COUNTED = 99_999


class ChecksModel(RecordModel):
    """A check needs inspected and infested; the count and the severity only where something was found."""

    row_key_moves_on = True
    columns = (
        Column("organism", "Pest or disease", words=True),
        Column("inspected_part", "Part", words=True),
        Column("inspected", "Looked at", "Looked\nat", needed=True),
        Column("infested", "Infested", "Infested\nof these", needed=True),
        Column("counted", "Counted", "Counted\nin all"),
        Column("severity_percent", "Severity", "Severity\n%"),
        Column("where", "Where", words=True),
    )

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._new_ids: dict[tuple[str, str], str] = {}

    def rows_of(self, sheet: VisitSheet) -> list[RecordRow]:
        """Return a row for each organism to look for, then one for each other check."""
        checks = {check.id: check for check in sheet.checks}
        rows = []
        for wanted in sheet.look_for:
            own = [check for check in sheet.checks if check.organism == wanted.organism.key]
            rows += [self._kept(checks.pop(check.id), wanted) for check in own]
            if not own:
                rows.append(self._empty(sheet.visit.id, wanted))
        return rows + [self._kept(check, None) for check in checks.values()]

    def _kept(self, check: PestCheck, wanted: LookFor | None) -> RecordRow:
        return RecordRow(check.id, self.values_of(check), check, wanted)

    def _empty(self, visit_id: str, wanted: LookFor) -> RecordRow:
        row_id = self._new_ids.setdefault((visit_id, wanted.organism.key), new_id())
        return RecordRow(
            row_id, {"organism": wanted.organism.key, "inspected_part": wanted.part}, None, wanted
        )

    def kind(self, index: Index) -> Takes:
        """Numbers where they make sense for the organism; part by choice; where in words."""
        key = self.key(index)
        if key == "organism":
            return Takes.NOTHING
        if key == "inspected_part":
            return Takes.CHOICE
        if key == "where":
            return Takes.TEXT
        wanted = self.row(index).about
        if isinstance(wanted, LookFor):
            if key == "counted" and not wanted.organism.counting:
                return Takes.NOTHING
            if key == "severity_percent" and not wanted.organism.severity:
                return Takes.NOTHING
        return Takes.NUMBER

    def is_stop(self, index: Index) -> bool:
        """Enter stops at the two numbers a check needs; where something was found also at count, severity, where."""
        found = float(self.row(index).values.get("infested") or 0) > 0
        if self.takes(index) is Takes.TEXT:
            return found
        if self.takes(index) is not Takes.NUMBER:
            return False
        return found or self.key(index) in ("inspected", "infested")

    def rule(self, index: Index) -> NumberRule:
        """Return the limits of a number cell; no more can be infested than were looked at."""
        values, key = self.row(index).values, self.key(index)
        label = f"{self.name_of(self.row(index))}, {_(self.columns[index.column()].label)}"
        low, high, decimals = 0.0, float(MOST_COUNTED), 0
        if key == "inspected":
            low, high = max(1.0, float(values.get("infested") or 0)), float(MOST_INSPECTED)
        elif key == "infested" and values.get("inspected") is not None:
            high = float(values["inspected"] or 0)
        elif key == "severity_percent":
            high, decimals = 100.0, 1
        return NumberRule(label, "%" if decimals else "", decimals, low, high, low, high)

    def choices(self, index: Index) -> tuple[tuple[str, str], ...]:
        """Return the parts that can be looked at."""
        row = self.row(index)
        if self.key(index) == "organism":
            return ((str(row.values["organism"]), self.name_of(row)),)
        if self.key(index) != "inspected_part":
            return ()
        parts = (
            row.about.organism.inspect
            if isinstance(row.about, LookFor)
            else (str(row.values["inspected_part"]),)
        )
        return tuple((part, _(part)) for part in parts)

    def usual(self, row: RecordRow, key: str) -> Value:
        """Offer the number of parts the stop rule asks for."""
        asked = row.about.at_least if isinstance(row.about, LookFor) else 0
        return float(asked) if key == "inspected" and asked else None

    def name_of(self, row: RecordRow) -> str:
        """Return the organism's name."""
        return _(row.about.organism.name) if isinstance(row.about, LookFor) else str(row.values["organism"])

    def row_key(self, row: int, letter: str) -> bool:
        """N: none found, on as many as stand in the row, in the row above, or as are asked for."""
        if letter.lower() != "n" or self.shut:
            return False
        values = self.rows[row].values
        above = self.rows[row - 1].values.get("inspected") if row else None
        inspected = values.get("inspected") or above or self.usual(self.rows[row], "inspected")
        if inspected is None:
            self.said.emit(_("Type first how many were looked at."))
            return True
        if self.put_values(
            row, {"inspected": inspected, "infested": 0.0, "counted": None, "severity_percent": None}
        ):
            self.said.emit(
                _("{name}: none found on {n}.").format(
                    name=self.name_of(self.rows[row]), n=int(float(inspected))
                )
            )
        return True

    def record_of(self, row: RecordRow) -> PestCheck | None:
        """Return the check when both numbers are there."""
        values = row.values
        inspected, infested, counted = values.get("inspected"), values.get("infested"), values.get("counted")
        if inspected is None or infested is None or self.sheet is None or float(infested) > float(inspected):
            return None
        severity = values.get("severity_percent")
        return PestCheck(
            id=row.id,
            visit_id=self.sheet.visit.id,
            organism=str(values["organism"]),
            inspected_part=str(values["inspected_part"]),
            inspected=int(float(inspected)),
            infested=int(float(infested)),
            counted=None if counted is None else int(float(counted)),
            severity_percent=None if severity is None else float(severity),
            where=str(values.get("where") or ""),
        )
