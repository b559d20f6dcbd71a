"""The PIN of a person: set, changed, taken out; what it does and what it doesn't, said where it is set."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from bayround import settings
from bayround.actions import pins
from bayround.facts.farm import Person
from bayround.window.desk import Desk
from bayround.window.parts.notice import GOOD, Notice
from bayround.words import _

_MINUTES = (0, 5, 10, 20, 30, 60)


class PinPart(QWidget):
    """Hidden for a person who is not kept yet."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._person: Person | None = None
        self._has_pin = False
        self.title = QLabel(_("PIN"))
        self.title.setObjectName("heading")
        self.state = QLabel()
        self.state.setWordWrap(True)
        self.current, self.new = _digits(_("PIN now")), _digits(_("New PIN"))
        self.set_button = QPushButton()
        self.set_button.clicked.connect(self._set)
        self.remove_button = QPushButton(_("Take it out"))
        self.remove_button.clicked.connect(self._remove)
        self.forgotten_button = QPushButton(_("It is forgotten …"))
        self.forgotten_button.clicked.connect(self._forgotten)
        self.minutes = QComboBox()
        chosen = int(settings.read(settings.HAND_OVER_MINUTES))
        for minutes in sorted({*_MINUTES, chosen}):
            self.minutes.addItem(_("{n} minutes").format(n=minutes) if minutes else _("never"), minutes)
        self.minutes.setCurrentIndex(self.minutes.findData(chosen))
        self.minutes.setAccessibleName(_("Time without a key until the desk is handed over"))
        self.minutes.activated.connect(
            lambda _place: settings.write(settings.HAND_OVER_MINUTES, int(self.minutes.currentData()))
        )
        self.notice = Notice()
        self._lay_out()

    def _lay_out(self) -> None:
        about = QLabel(
            _(
                "A PIN keeps colleagues from writing under each other's name by mistake. It protects nothing: "
                "whoever has this computer can read and change the farm file. What protects is an account of "
                "your own on the computer and an encrypted disk, or a farm on a server with roles. Wrong PINs "
                "make one wait; nobody is locked out."
            )
        )
        about.setObjectName("quiet")
        about.setWordWrap(True)
        row = QHBoxLayout()
        row.setSpacing(8)
        for part in (self.current, self.new, self.set_button, self.remove_button, self.forgotten_button):
            row.addWidget(part)
        row.addStretch(1)
        idle = QHBoxLayout()
        idle.setSpacing(8)
        label = QLabel(_("A desk with a PIN is handed over when nobody touched a key for"))
        label.setBuddy(self.minutes)
        idle.addWidget(label)
        idle.addWidget(self.minutes)
        idle.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 16, 0, 0)
        layout.setSpacing(8)
        for widget in (self.title, about, self.state):
            layout.addWidget(widget)
        layout.addLayout(row)
        layout.addWidget(self.notice)
        layout.addLayout(idle)

    def show_person(self, person: Person | None) -> None:
        """Show whether a person has a PIN."""
        self._person = person
        self.setVisible(person is not None)
        self.notice.clear()
        self._read()

    def _read(self) -> None:
        person, farm = self._person, self._desk.farm
        if person is not None:
            self._desk.tasks.ask(lambda: pins.with_pin(farm), lambda found: self._show(person, found))

    def _show(self, person: Person, with_pin: frozenset[str]) -> None:
        if person is not self._person:
            return
        self._has_pin = person.id in with_pin
        self.state.setText(
            _("{name} has a PIN.").format(name=person.name)
            if self._has_pin
            else _("{name} has no PIN.").format(name=person.name)
        )
        self.set_button.setText(_("Change the PIN") if self._has_pin else _("Set a PIN"))
        for part in (self.current, self.remove_button, self.forgotten_button):
            part.setVisible(self._has_pin)
        for field in (self.current, self.new):
            field.clear()

    def _set(self) -> None:
        new, current = self.new.text(), self.current.text()
        self._do(
            lambda farm, person, by, now: pins.set_pin(farm, person.id, new, current, by, now),
            _("The PIN is set. It is asked for when this name is chosen at the desk."),
        )

    def _remove(self) -> None:
        current = self.current.text()
        self._do(
            lambda farm, person, by, now: pins.remove_pin(farm, person.id, current, by, now),
            _("The PIN was taken out."),
        )

    def _forgotten(self) -> None:
        if self._person is not None and self._desk.questions.confirm(
            _("Take the PIN of {name} out without knowing it?").format(name=self._person.name),
            _("The history keeps that it was done, by whom and when."),
            _("Take it out"),
        ):
            self._do(
                lambda farm, person, by, now: pins.remove_forgotten(farm, person.id, by, now),
                _("The PIN was taken out; the history says so."),
            )

    def _do(self, work: Callable[..., None], good: str) -> None:
        person, farm, by, now = self._person, self._desk.farm, self._desk.person_id, self._desk.now()
        if person is None:
            return

        def done(_nothing: object) -> None:
            self.notice.say(GOOD, good)
            self._read()

        self._desk.tasks.change(lambda: work(farm, person, by, now), done, self._refused)

    def _refused(self, error: BaseException) -> None:
        self.notice.refuse(error)
        (self.current if self._has_pin else self.new).setFocus(Qt.FocusReason.OtherFocusReason)


def _digits(name: str) -> QLineEdit:
    field = QLineEdit()
    field.setEchoMode(QLineEdit.EchoMode.Password)
    field.setMaxLength(pins.MOST)
    field.setPlaceholderText(name)
    field.setAccessibleName(name)
    field.setFixedWidth(120)
    return field
