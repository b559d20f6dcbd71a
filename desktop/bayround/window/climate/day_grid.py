"""Days of climate as a grid of numbers: a row a day, the newest on top; Enter goes on, Up and Down along a column."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QScrollArea, QSizePolicy, QWidget

from bayround import words
from bayround.actions.climate import DAYS_SHOWN, FIELDS, DayShown
from bayround.figures.figure import Figure
from bayround.window.parts.amount_field import AmountField
from bayround.words import _

_SHOWN = {
    "low_c": ("Lowest °C", 1, -40.0, 60.0),
    "high_c": ("Highest °C", 1, -40.0, 60.0),
    "humidity_low_percent": ("Lowest humidity %", 0, 0.0, 100.0),
    "humidity_high_percent": ("Highest humidity %", 0, 0.0, 100.0),
    "light_mol_m2": ("Light mol/m²", 1, 0.0, 90.0),
}
"""Heading, places shown and limits of what can be air in a house; common practice, no source."""
_DECIMALS_TYPED = 2
_DEFICIT = "vapour_pressure_deficit_kpa"


class _Number(AmountField):
    """One number; Enter goes on, Up and Down along its column."""

    def __init__(self, name: str, low: float, high: float) -> None:
        super().__init__(name, decimals=_DECIMALS_TYPED, low=low, high=high)
        self.above: _Number | None = None
        self.below: _Number | None = None
        self.setAlignment(Qt.AlignmentFlag.AlignRight)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, Up and Down; the rest is typing."""
        step = {Qt.Key.Key_Up: self.above, Qt.Key.Key_Down: self.below}.get(Qt.Key(event.key()))
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.focusNextChild()
        elif step is not None:
            step.setFocus(Qt.FocusReason.OtherFocusReason)
            step.selectAll()
        else:
            super().keyPressEvent(event)


class DayGrid(QScrollArea):
    """Fourteen days, each with its numbers and the vapour pressure deficit that follows from them."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.days: tuple[DayShown, ...] = ()
        self.fields: list[dict[str, _Number]] = []
        self.names: list[QLabel] = []
        self.deficits: list[QLabel] = []
        self._at_start: list[dict[str, str]] = []
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        page = QWidget()
        self._grid = QGridLayout(page)
        self._grid.setContentsMargins(0, 0, 8, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(3)
        self._head()
        for row in range(DAYS_SHOWN):
            self._add_row(row)
        self._grid.setRowStretch(DAYS_SHOWN + 1, 1)
        self._grid.setColumnStretch(len(FIELDS) + 1, 1)
        self.setWidget(page)

    def show_days(self, days: Sequence[DayShown]) -> None:
        """Show what is kept of some days."""
        self.days = tuple(days)
        for row, one in enumerate(self.days):
            self.names[row].setText(f"{words.weekday(one.day)} {words.day(one.day)}")
            for key in FIELDS:
                field = self.fields[row][key]
                field.show_amount(getattr(one.kept, key) if one.kept else None)
                field.setAccessibleName(f"{words.day(one.day)}: {_(_SHOWN[key][0])}")
                field.name = f"{words.day(one.day)}, {_(_SHOWN[key][0])}"
            figure = one.figures.get(_DEFICIT)
            self.deficits[row].setText(figure.text if figure is not None else "")
        self.clear_edited()

    def first_empty(self) -> QWidget:
        """Return the number to begin with: of the newest day of which nothing is kept, or of the newest."""
        row = next((row for row, one in enumerate(self.days) if one.kept is None), 0)
        return self.fields[row][FIELDS[0]]

    def edited(self) -> bool:
        """Tell whether something was typed that is not kept."""
        return self._texts() != self._at_start

    def clear_edited(self) -> None:
        """Take what stands here as kept."""
        self._at_start = self._texts()

    def problem(self) -> str:
        """Return what is wrong with a number, in words; empty when nothing is."""
        for row in self.fields[: len(self.days)]:
            for field in row.values():
                if problem := field.problem():
                    field.setFocus(Qt.FocusReason.OtherFocusReason)
                    return problem
        return ""

    def typed(self) -> dict[date, dict[str, float | None]]:
        """Return the days of which something was typed: day → field → number."""
        now = self._texts()
        return {
            one.day: {key: field.amount() for key, field in self.fields[row].items()}
            for row, one in enumerate(self.days)
            if now[row] != self._at_start[row]
        }

    def figure_here(self) -> Figure | None:
        """Return the vapour pressure deficit of the day under the cursor."""
        for row, one in enumerate(self.days):
            if any(field.hasFocus() for field in self.fields[row].values()):
                return one.figures.get(_DEFICIT)
        return None

    def _texts(self) -> list[dict[str, str]]:
        return [{key: field.text().strip() for key, field in row.items()} for row in self.fields]

    def _head(self) -> None:
        headings = (_("Day"), *(_(_SHOWN[key][0]) for key in FIELDS), _("Vapour pressure deficit kPa"))
        for column, text in enumerate(headings):
            label = QLabel(text)
            label.setObjectName("quiet")
            label.setWordWrap(column == len(headings) - 1)
            self._grid.addWidget(label, 0, column)

    def _add_row(self, row: int) -> None:
        name, deficit = QLabel(), QLabel()
        made: dict[str, _Number] = {}
        self._grid.addWidget(name, row + 1, 0)
        for column, key in enumerate(FIELDS, start=1):
            heading, _decimals, low, high = _SHOWN[key]
            field = made[key] = _Number(_(heading), low, high)
            field.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            field.setFixedWidth(110)
            if self.fields:
                field.above = self.fields[-1][key]
                self.fields[-1][key].below = field
            self._grid.addWidget(field, row + 1, column)
        self._grid.addWidget(deficit, row + 1, len(FIELDS) + 1)
        self.names.append(name)
        self.deficits.append(deficit)
        self.fields.append(made)
