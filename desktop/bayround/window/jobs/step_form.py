"""The small form under a job: who it goes to, the hours it took, or why it is left. Enter keeps, Escape leaves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.actions.jobs import Job
from bayround.facts.farm import Person
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.notice import Notice
from bayround.words import _


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """What was filled in: a person, hours, words; whatever the step asked for."""

    person_id: str = ""
    hours: float | None = None
    words: str = ""


class StepForm(QFrame):
    """Asks for what one step needs, inside the screen, and hands it over."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self.title = QLabel()
        self.title.setObjectName("heading")
        self.title.setWordWrap(True)
        self.person = QComboBox()
        self.person.setAccessibleName(_("Give the job to"))
        self.hours = AmountField(_("Hours it took"), decimals=2, high=1000)
        self.words = QLineEdit()
        self.notice = Notice()
        self.keep = QPushButton(_("&Keep"))
        self.keep.setProperty("main", True)
        self.keep.clicked.connect(self._accept)
        self.leave = QPushButton(_("Leave (Esc)"))
        self.leave.clicked.connect(self._leave)
        buttons = QHBoxLayout()
        buttons.addWidget(self.keep)
        buttons.addWidget(self.leave)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setSpacing(8)
        for part in (self.title, self.person, self.hours, self.words, self.notice):
            layout.addWidget(part)
        layout.addLayout(buttons)
        self._hand_over: Callable[[StepAnswer], None] = lambda _answer: None
        self._left: Callable[[], None] = lambda: None
        self.hide()

    def ask_person(self, job: Job, people: Sequence[Person], act: Callable[[StepAnswer], None]) -> None:
        """Ask who gets the job."""
        self.person.clear()
        for person in people:
            self.person.addItem(person.name, person.id)
        given = self.person.findData(job.assigned_to_id)
        self.person.setCurrentIndex(max(given, 0))
        self._open(_("Give “{job}” to").format(job=job.kind_text), act, self.person)

    def ask_done(self, job: Job, act: Callable[[StepAnswer], None]) -> None:
        """Ask for the hours; for a stopped job also why it was done all the same."""
        self.hours.setText("")
        estimated = job.hours.text_with_unit if job.hours.value is not None else ""
        hint = (
            _("Hours it took, estimated {hours}").format(hours=estimated) if estimated else _("Hours it took")
        )
        self.hours.setPlaceholderText(hint)
        parts: list[QWidget] = [self.hours]
        title = _("Done: how many hours did it take?")
        if job.blocked_by:
            title = _(
                "This job is stopped, as said above. If it was done all the same, write why; that is kept."
            )
            self._words(_("Why it was done before the interval had passed"))
            parts.append(self.words)
        self._open(title, act, *parts)

    def ask_explanation(self, reasons: Sequence[str], act: Callable[[StepAnswer], None]) -> None:
        """Ask why work on a stopped job began all the same."""
        self._words(_("Why work began although it is stopped"))
        title = _("This job is stopped: {why}. If work began all the same, write why; that is kept.")
        self._open(title.format(why="; ".join(reasons)), act, self.words)

    def offer_words(self) -> None:
        """Show the line for words in an open form of hours, after the job turned out to be stopped."""
        if self.isVisible() and self.hours.isVisibleTo(self) and not self.words.isVisibleTo(self):
            self._words(_("Why it was done before the interval had passed"))
            self.words.show()

    def ask_reason(self, act: Callable[[StepAnswer], None]) -> None:
        """Ask why a job is left undone."""
        self._words(_("Reason"))
        self._open(_("Skip this job: why?"), act, self.words)

    def bind(self, left: Callable[[], None]) -> None:
        """Say whom to tell when the form closes."""
        self._left = left

    def close_form(self) -> None:
        """Close it; the screen takes the keyboard back."""
        self.notice.clear()
        self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps, Escape leaves."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._accept()
        elif event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def _words(self, name: str) -> None:
        self.words.clear()
        self.words.setPlaceholderText(name)
        self.words.setAccessibleName(name)

    def _open(self, title: str, act: Callable[[StepAnswer], None], *parts: QWidget) -> None:
        self._hand_over = act
        self.title.setText(title)
        self.notice.clear()
        for part in (self.person, self.hours, self.words):
            part.setVisible(part in parts)
        self.show()
        parts[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _accept(self) -> None:
        if self.hours.isVisibleTo(self) and self.hours.problem():
            self.notice.say("stop", self.hours.problem())
            self.hours.setFocus()
            return
        hours = self.hours.amount() if self.hours.isVisibleTo(self) else None
        text = self.words.text() if self.words.isVisibleTo(self) else ""
        self._hand_over(StepAnswer(str(self.person.currentData() or ""), hours, text))

    def _leave(self) -> None:
        self.close_form()
        self._left()
