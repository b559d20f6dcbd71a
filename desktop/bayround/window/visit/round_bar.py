"""Which round is walked: choose one, or say when a new one was held and who walked it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround import words
from bayround.facts.farm import Person
from bayround.facts.rounds import Round
from bayround.window import theme
from bayround.window.parts.day_field import DayField
from bayround.words import _


class RoundBar(QWidget):
    """The rounds, newest first, and the way to a new one.

    Signals:
        chosen: id of a round. new_wanted: a new round is to be begun. change_wanted: the day or the scout of the
        round shown is to be put right.
    """

    chosen = Signal(str)
    new_wanted = Signal()
    change_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rounds = QComboBox()
        self.rounds.setAccessibleName(_("Round"))
        self.rounds.activated.connect(lambda _row: self.chosen.emit(str(self.rounds.currentData())))
        self.new = QPushButton(_("New &round …"))
        self.new.setAccessibleName(_("Begin a new round"))
        self.new.clicked.connect(self.new_wanted)
        self.change = QPushButton(_("Change &day …"))
        self.change.setAccessibleName(_("Put the day or the scout of this round right"))
        self.change.setToolTip(_("As long as nothing was keyed in on this round"))
        self.change.clicked.connect(self.change_wanted)
        self.change.hide()
        self.progress = QLabel()
        self.progress.setObjectName("quiet")
        self.progress.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 4)
        layout.setSpacing(6)
        for part in (self.rounds, self.new, self.change, self.progress):
            layout.addWidget(part)

    def show_rounds(self, rounds: Sequence[Round], people: Sequence[Person], chosen: str) -> None:
        """Show the rounds and which one is walked."""
        names = {person.id: person.name for person in people}
        self.rounds.clear()
        for held in rounds:
            scout = names.get(held.scout_id, "")
            self.rounds.addItem(
                " · ".join(part for part in (words.day(held.held_on), scout) if part), held.id
            )
        self.rounds.setCurrentIndex(self.rounds.findData(chosen))
        self.rounds.setEnabled(bool(rounds))


class StartForm(QWidget):
    """Date and scout of a new round, or of one to be put right.

    Signals:
        start: date and scout's id. change: id of a round, its right date and scout. cancelled: neither.
    """

    start = Signal(object, str)
    change = Signal(str, object, str)
    cancelled = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = QLabel(_("A new round"))
        self.heading.setFont(theme.scaled(self.font(), 1.4, bold=True))
        self.day = DayField(_("Day of the walk"), needed=True)
        self.scout = QComboBox()
        self.scout.setAccessibleName(_("Scout"))
        self.problem = QLabel()
        self.problem.setWordWrap(True)
        self.problem.setMinimumHeight(2 * self.fontMetrics().lineSpacing())  # so that nothing jumps
        self._round_id = ""
        self._today: date | None = None
        self.begin = QPushButton(_("&Begin the round"))
        self.begin.setProperty("main", True)
        self.begin.clicked.connect(self._begin)
        self.day.returnPressed.connect(self._begin)
        self.cancel = QPushButton(_("&Cancel"))
        self.cancel.clicked.connect(self.cancelled)
        form = QFormLayout()
        form.setSpacing(12)
        form.addRow(_("&Day of the walk"), self.day)
        form.addRow(_("&Scout"), self.scout)
        buttons = QHBoxLayout()
        buttons.addWidget(self.begin)
        buttons.addWidget(self.cancel)
        buttons.addStretch(1)
        inner = QWidget()
        inner.setFixedWidth(max(440, 58 * self.fontMetrics().averageCharWidth()))
        column = QVBoxLayout(inner)
        column.setSpacing(16)
        column.addWidget(self.heading)
        column.addLayout(form)
        column.addWidget(self.problem)
        column.addLayout(buttons)
        layout = QVBoxLayout(self)
        layout.addStretch(2)
        layout.addWidget(inner, 0, Qt.AlignmentFlag.AlignHCenter)
        layout.addStretch(3)
        self.setFocusProxy(self.day)

    def offer(self, day: date, people: Sequence[Person], scout_id: str, may_cancel: bool) -> None:
        """Offer a day (today) and a scout for a new round."""
        self._round_id, self._today = "", day
        self.heading.setText(_("A new round"))
        self.begin.setText(_("&Begin the round"))
        self.day.show_day(day)
        self.scout.clear()
        for person in people:
            self.scout.addItem(person.name, person.id)
        self.scout.setCurrentIndex(max(0, self.scout.findData(scout_id)))
        self.cancel.setVisible(may_cancel)
        self.problem.setText("" if people else _("Nobody is entered yet: add the scout under Farm first."))
        self.begin.setEnabled(bool(people))

    def offer_change(self, held: Round, today: date, people: Sequence[Person]) -> None:
        """Offer day and scout of a round that is to be put right."""
        self.offer(held.held_on, people, held.scout_id, True)
        self._round_id, self._today = held.id, today
        self.heading.setText(_("Put this round right"))
        self.begin.setText(_("&Keep"))

    def show_problem(self, text: str) -> None:
        """Say why the round was not begun or changed; what was typed stays."""
        self.problem.setText(text)
        self.day.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape leaves the form, where there is something to go back to."""
        if event.key() == Qt.Key.Key_Escape and self.cancel.isVisible():
            self.cancelled.emit()
            return
        super().keyPressEvent(event)

    def _begin(self) -> None:
        day, scout_id = self.day.day(), self.scout.currentData()
        self.problem.setText(self.day.problem())
        if day is None or not scout_id:
            return
        if self._today is not None and day > self._today:
            self.show_problem(_("{day} is still to come.").format(day=words.weekday_day(day)))
        elif self._round_id:
            self.change.emit(self._round_id, day, str(scout_id))
        else:
            self.start.emit(day, str(scout_id))
