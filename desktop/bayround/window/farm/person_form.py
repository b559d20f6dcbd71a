"""The form of a person: name, what they do, hours a week."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QWidget

from bayround.actions import setup
from bayround.facts.farm import Person, Role
from bayround.facts.ids import new_id
from bayround.window.desk import Desk
from bayround.window.farm.form import Form, choose
from bayround.window.farm.pin_part import PinPart
from bayround.window.parts.amount_field import AmountField
from bayround.words import _


class PersonForm(Form):
    """Adds or changes one person; nobody is ever deleted, only no longer here."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._person: Person | None = None
        self.name = QLineEdit()
        self.role = QComboBox()
        for role in Role:
            self.role.addItem(_(role.value.capitalize()), role)
        self.hours = AmountField(_("Hours per week"), decimals=1, high=168)
        self.here = QComboBox()
        self.here.addItem(_("Works here"), True)
        self.here.addItem(_("No longer here"), False)
        self.column.addLayout(
            self.grid(
                (
                    (_("&Name"), self.name, ""),
                    (_("&Role"), self.role, ""),
                    (_("Ho&urs per week"), self.hours, _("h")),
                    (_("State"), self.here, ""),
                )
            )
        )
        hint = QLabel(_("A name says who walked and who worked; it is no login and protects nothing."))
        hint.setObjectName("quiet")
        hint.setWordWrap(True)
        self.column.addWidget(hint)
        self.add_buttons()
        self.pin = PinPart(desk)
        self.column.addWidget(self.pin)
        self.column.addStretch(1)

    def show_person(self, person: Person | None) -> None:
        """Show a person, or an empty form for a new one."""
        self._person = person
        self.title.setText(person.name if person else _("New person"))
        self.name.setText(person.name if person else "")
        choose(self.role, person.role if person else Role.SCOUT)
        self.hours.show_amount(person.hours_per_week if person else None)
        choose(self.here, person.active if person else True)
        self.pin.show_person(person)
        self.loaded()

    def problems(self) -> list[str]:
        """Return what is wrong."""
        return ([] if self.name.text().strip() else [_("A name is needed.")]) + super().problems()

    def change(self) -> tuple[Callable[[], None], str]:
        """Return the write that keeps the person."""
        farm, who, now = self.desk.farm, self.desk.person_id, self.desk.now()
        base = self._person or Person(new_id(), "")
        person = replace(
            base,
            name=self.name.text().strip(),
            role=self.role.currentData(),
            hours_per_week=self.hours.amount(),
            active=bool(self.here.currentData()),
        )
        if self._person is None:
            return (lambda: setup.add(farm, person)), person.id
        return (lambda: setup.change(farm, person, who, now)), person.id
