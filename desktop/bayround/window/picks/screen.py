"""The Picks screen: key in a day's picks over the bays, against what was foreseen."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import picks
from bayround.actions.pick_lines import PickDay
from bayround.actions.picks import AREA_BASIS
from bayround.window.desk import Desk
from bayround.window.parts.ask_line import AskLine
from bayround.window.parts.day_field import DayField
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.explain import explain
from bayround.window.parts.notice import STOP, Notice
from bayround.window.parts.screen import Screen
from bayround.window.parts.time_field import TimeField
from bayround.window.picks.keeping import RowKeeper
from bayround.window.picks.pick_grid import PickGrid
from bayround.window.picks.pick_model import FIRST_NUMBER, PickGridModel
from bayround.words import _


class PicksScreen(Screen):
    """One day at a time; a bay's numbers are kept when its row is left."""

    name = "picks"
    title = "Picks"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.shown: PickDay | None = None
        self._day = desk.today()
        self._wanted_bay = ""
        self.day = DayField(_("Day"), needed=True)
        self.day.setFixedWidth(self.fontMetrics().averageCharWidth() * 16)
        self.before, self.after = QPushButton(_("Day &before")), QPushButton(_("Day &after"))
        self.began = TimeField(_("Picking began at"))
        self.began.setFixedWidth(self.fontMetrics().averageCharWidth() * 12)
        self.by = QComboBox()
        self.by.setAccessibleName(_("Picked by"))
        self.grades = QLineEdit(", ".join(picks.USUAL_GRADES))
        self.grades.setAccessibleName(_("Grades, parted by commas"))
        self.model = PickGridModel()
        self.grid = PickGrid(self.model)
        self.total = QLabel()
        self.total.setObjectName("heading")
        self.stop = QLabel()
        self.stop.setWordWrap(True)
        self.stop.setTextFormat(Qt.TextFormat.PlainText)
        self.colour = QComboBox()
        self.colour.setEditable(True)
        self.colour.setAccessibleName(_("Another colour for this bay"))
        self.add_colour = QPushButton(_("Add a row of this colour"))
        self.ask = AskLine()
        self.notice = Notice()
        self.empty = EmptyState()
        self.keeper = RowKeeper(desk, self.model, self.ask, self.notice)
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._build_page())
        self._pages.addWidget(self.empty)
        self._join()

    def show_again(self, key: str = "") -> None:
        """Read the day again; *key* is a bay's id to put the cursor on."""
        self._wanted_bay = key or self._wanted_bay
        farm, day = self.desk.farm, self._day
        self.desk.tasks.ask(lambda: picks.read_day(farm, day), self._show)

    def commit_open_edit(self) -> bool:
        """Keep what was typed; false when it was refused or needs words first."""
        if not self.grid.commit() or self.ask.isVisibleTo(self):
            return False
        for place in range(self.model.rowCount()):
            if self.model.pending(place):
                self._keep(place)
                self.desk.tasks.drain()
        return not any(self.model.pending(place) for place in range(self.model.rowCount()))

    def kept(self) -> dict[str, str]:
        """Return the day and the bay under the cursor."""
        place = self.grid.currentIndex().row()
        bay = self.model.rows[place].line.bay_id if 0 <= place < self.model.rowCount() else ""
        return {"key": bay, "day": self._day.isoformat()}

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Go to the day again."""
        self._day = date.fromisoformat(kept["day"]) if "day" in kept else self._day

    def first_focus(self) -> QWidget:
        """Return the grid, or the button where there is nothing to pick."""
        return self.empty.button if self._pages.currentWidget() is self.empty else self.grid

    def _build_page(self) -> QWidget:
        top = QHBoxLayout()
        top.setSpacing(8)
        for text, field in (
            (_("&Day"), self.day),
            (_("Picki&ng began at"), self.began),
            (_("P&icked by"), self.by),
            (_("Grad&es"), self.grades),
        ):
            label = QLabel(text)
            label.setBuddy(field)
            top.addWidget(label)
            top.addWidget(field, 1 if field is self.grades else 0)
            if field is self.day:
                top.addWidget(self.before)
                top.addWidget(self.after)
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(_hint())
        layout.addWidget(self.grid, 1)
        layout.addWidget(self.stop)
        layout.addLayout(self._low_line())
        layout.addWidget(self.ask)
        layout.addWidget(self.notice)
        return page

    def _low_line(self) -> QHBoxLayout:
        basis = QLabel(_(AREA_BASIS))
        basis.setObjectName("quiet")
        low = QHBoxLayout()
        low.setSpacing(8)
        low.addWidget(self.total)
        low.addStretch(1)
        low.addWidget(basis)
        low.addWidget(self.colour)
        low.addWidget(self.add_colour)
        return low

    def _join(self) -> None:
        self.grid.left_row.connect(self._keep)
        self.grid.selectionModel().currentRowChanged.connect(lambda _now, _before: self._say_stop())
        self.grid.refused.connect(lambda text: self.notice.say(STOP, text))
        self.grid.asked_why.connect(lambda figure: explain(figure, self))
        self.keeper.kept.connect(self._kept)
        self.keeper.stays.connect(lambda place: self.grid.go_to(place))
        self.day.returnPressed.connect(self._go_to_typed_day)
        self.before.clicked.connect(lambda: self._step_day(-1))
        self.after.clicked.connect(lambda: self._step_day(1))
        self.grades.returnPressed.connect(self._show_other_grades)
        self.add_colour.clicked.connect(self._add_colour)
        QShortcut(QKeySequence("Ctrl+S"), self).activated.connect(self.commit_open_edit)
        QShortcut(QKeySequence("Ctrl+D"), self).activated.connect(self.day.setFocus)
        QShortcut(QKeySequence("Ctrl+R"), self).activated.connect(self.colour.setFocus)

    def _show(self, shown: PickDay) -> None:
        same_day = self.shown is not None and self.shown.day == shown.day
        now = self.grid.currentIndex()
        at = (now.row(), now.column()) if now.isValid() and same_day else (0, FIRST_NUMBER)
        self.shown = shown
        if not shown.lines:
            self.empty.say(
                _("No crop stands on this day."),
                _("Picks are written down bay by bay. Enter the farm's bays and their crops first."),
                _("&Set up the farm"),
                lambda: self.desk.go("farm", ""),
            )
            self._pages.setCurrentWidget(self.empty)
            return
        self._pages.setCurrentIndex(0)
        self.day.show_day(shown.day)
        self.after.setEnabled(shown.day < self.desk.today())
        self._show_choices(shown)
        self.grid.blockSignals(True)
        self.model.show(shown, self._grades(), keep_typed=same_day)
        self.grid.fit()
        row = next(
            (place for place, one in enumerate(self.model.rows) if one.line.bay_id == self._wanted_bay), at[0]
        )
        self._wanted_bay = ""
        self.grid.setCurrentIndex(self.model.index(min(row, self.model.rowCount() - 1), at[1]))
        self.grid.blockSignals(False)
        self._say_stop()
        self.total.setText(f"{shown.total.label}: {shown.total.text_with_unit}")

    def _say_stop(self) -> None:
        place = self.grid.currentIndex().row()
        line = self.model.rows[place].line if 0 <= place < self.model.rowCount() else None
        told = ["; ".join(line.stopped), *line.inside] if line is not None else []
        self.stop.setText("\n".join(f"✕ {text}" for text in told if text))
        self.stop.setVisible(any(told))

    def _show_choices(self, shown: PickDay) -> None:
        chosen = self.by.currentData()
        self.by.clear()
        self.by.addItem(_("Not said"), "")
        for person in shown.people:
            if person.active:
                self.by.addItem(person.name, person.id)
        self.by.setCurrentIndex(max(self.by.findData(chosen), 0))
        text = self.colour.currentText()
        self.colour.clear()
        self.colour.addItems([_(colour) for colour in shown.colours])
        self.colour.setEditText(text or _(shown.colours[0]))
        if not self.grades.isModified():
            self.grades.setText(", ".join(shown.grades))

    def _grades(self) -> list[str]:
        typed = [part.strip() for part in self.grades.text().split(",") if part.strip()]
        known = {pick.grade for line in self.shown.lines for pick in line.picked} if self.shown else set()
        return list(dict.fromkeys([*typed, *sorted(known)])) or list(picks.USUAL_GRADES)

    def _keep(self, place: int) -> None:
        if self.shown is not None and 0 <= place < self.model.rowCount() and self.model.pending(place):
            self.keeper.keep(place, self.shown.day, self.began, str(self.by.currentData() or "") or None)

    def _kept(self) -> None:
        self.notice.clear()
        self.desk.tell(_("Kept."))
        self.show_again()
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _go_to_typed_day(self) -> None:
        day = self.day.day()
        if day is None:
            self.notice.say(STOP, self.day.problem() or _("A day is needed."))
            return
        self._go_to(day)

    def _step_day(self, days: int) -> None:
        self._go_to(self._day + timedelta(days=days))

    def _go_to(self, day: date) -> None:
        if day > self.desk.today():
            self.notice.say(STOP, _("That day is still to come."))
        elif self.commit_open_edit():
            self.notice.clear()
            self._day = day
            self.show_again()
            self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_other_grades(self) -> None:
        if self.commit_open_edit() and self.shown is not None:
            self.model.show(self.shown, self._grades(), keep_typed=False)
            self.grid.fit()
            self.grid.go_to(0)

    def _add_colour(self) -> None:
        text = self.colour.currentText().strip().lower()
        if self.shown is None or not text or not self.commit_open_edit():
            return
        key = next((colour for colour in self.shown.colours if _(colour).lower() == text), text)
        place = max(self.grid.currentIndex().row(), 0)
        self.grid.go_to(self.model.add_colour(place, key))


def _hint() -> QLabel:
    hint = QLabel(
        _(
            "Leave “began at” empty when it is not known: then the whole day has to be free of intervals. "
            "Kilograms and fruit of a bay are kept when you go on to the next."
        )
    )
    hint.setObjectName("quiet")
    hint.setWordWrap(True)
    return hint
