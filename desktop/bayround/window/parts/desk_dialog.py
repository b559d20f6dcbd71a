"""Who sits at the desk: a name, and its PIN where there is one. Wrong ones make one wait, nobody is locked out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.actions.pins import MOST, Patience
from bayround.facts.farm import Person
from bayround.window.parts.notice import STOP, Notice, make_room
from bayround.words import _

Fits = Callable[[str, str, Callable[[bool], None], Callable[[BaseException], None]], None]
"""Asks whether a person's PIN fits, and hands the answer over, or why there is none."""


class DeskDialog(QDialog):
    """Accepted with `person_id` (empty: nobody named) when the PIN fits or there is none.

    Attributes:
        person_id: who sits at the desk from now on.
    """

    def __init__(
        self,
        heading: str,
        people: Sequence[Person],
        with_pin: Collection[str],
        chosen: str,
        fits: Fits,
        patience: Patience,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("At the desk"))
        self.setMinimumWidth(480)
        self.setAccessibleName(heading)
        self.person_id = ""
        self._with_pin, self._fits, self._patience = frozenset(with_pin), fits, patience
        self.person, self.pin, self.notice = QComboBox(), QLineEdit(), Notice()
        self.person.addItem(_("nobody named"), "")
        for person in people:
            self.person.addItem(person.name, person.id)
        self.person.setCurrentIndex(max(self.person.findData(chosen), 0))
        self.person.setAccessibleName(_("Who sits at the desk"))
        self.pin.setEchoMode(QLineEdit.EchoMode.Password)
        self.pin.setMaxLength(MOST)
        self.pin.setAccessibleName(_("PIN"))
        self.go_on = QPushButton(_("&Go on"))
        self.go_on.setProperty("main", True)
        self.go_on.setDefault(True)
        self.go_on.clicked.connect(self._try)
        self._waiting = QTimer(self)
        self._waiting.setInterval(250)
        self._waiting.timeout.connect(self._show_wait)
        self._lay_out(heading)
        self.person.currentIndexChanged.connect(lambda _place: self._chosen())
        self._chosen()

    def _lay_out(self, text: str) -> None:
        heading = QLabel(text)
        heading.setObjectName("heading")
        heading.setWordWrap(True)
        self.pin_label = QLabel(_("&PIN"))
        self.pin_label.setBuddy(self.pin)
        name = QLabel(_("&Name"))
        name.setBuddy(self.person)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        for row, (label, field) in enumerate(((name, self.person), (self.pin_label, self.pin))):
            field.setMinimumHeight(28)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        grid.setColumnStretch(1, 1)
        about = QLabel(
            _("The name goes with what is typed. “Nobody named” can always go on: nobody is locked out.")
        )
        about.setObjectName("quiet")
        about.setWordWrap(True)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        cancel = QPushButton(_("Cancel"))
        cancel.clicked.connect(self.reject)
        cancel.setAutoDefault(False)
        buttons.addWidget(cancel)
        buttons.addWidget(self.go_on)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        layout.addWidget(heading)
        layout.addLayout(grid)
        layout.addWidget(self.notice)
        layout.addWidget(about)
        layout.addLayout(buttons)

    @property
    def _chosen_id(self) -> str:
        return str(self.person.currentData() or "")

    def _chosen(self) -> None:
        needed = self._chosen_id in self._with_pin
        for part in (self.pin, self.pin_label):
            part.setVisible(needed)
        self.pin.clear()
        self.notice.clear()
        self._show_wait()
        (self.pin if needed else self.go_on).setFocus(Qt.FocusReason.OtherFocusReason)

    def _try(self) -> None:
        person_id = self._chosen_id
        if person_id not in self._with_pin:
            self._go_on(person_id)
            return
        if self._patience.wait_s(person_id) > 0:
            return
        self.go_on.setEnabled(False)
        self._fits(
            person_id, self.pin.text(), lambda right: self._answered(person_id, right), self._not_looked_up
        )

    def _not_looked_up(self, error: BaseException) -> None:
        """The PIN could not be compared (the file is busy, the server away): it can be tried again."""
        self.notice.refuse(error)
        self._show_wait()
        make_room(self)

    def _answered(self, person_id: str, right: bool) -> None:
        self.go_on.setEnabled(True)
        if right:
            self._patience.was_right(person_id)
            self._go_on(person_id)
            return
        self._patience.was_wrong(person_id)
        self.pin.clear()
        self.pin.setFocus(Qt.FocusReason.OtherFocusReason)
        self.notice.say(STOP, _("That is not the PIN of {name}.").format(name=self.person.currentText()))
        self._show_wait()
        make_room(self)

    def _show_wait(self) -> None:
        wait = self._patience.wait_s(self._chosen_id)
        self.go_on.setEnabled(wait <= 0)
        if wait > 0:
            self.notice.say(
                STOP,
                _("That is not the PIN of {name}. Try again in {n} s.").format(
                    name=self.person.currentText(), n=int(wait) + 1
                ),
            )
            self._waiting.start()
        elif self._waiting.isActive():
            self._waiting.stop()
            self.notice.clear()

    def _go_on(self, person_id: str) -> None:
        self.person_id = person_id
        self.accept()
