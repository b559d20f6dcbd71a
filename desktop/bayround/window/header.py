"""The line on top: whose farm it is, which week is shown, who sits at the desk."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLabel, QToolButton, QWidget

from bayround import settings, words
from bayround.facts.farm import FarmInfo, Person
from bayround.facts.weeks import Week
from bayround.window import icons, theme
from bayround.window.parts.short_label import ShortLabel
from bayround.words import _


class Header(QFrame):
    """Farm name, the mark of an invented farm, week stepping where it applies, the person at the desk.

    Attributes:
        stepped: −1 or 1, the week before or after is wanted.
        person_chosen: the id of the person at the desk, or nothing.
    """

    stepped = Signal(int)
    person_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("header")
        self.farm_name = ShortLabel()
        self.farm_name.setObjectName("farm_name")
        self.badge = QLabel(_("INVENTED SAMPLE"))
        self.badge.setObjectName("badge")
        self.badge.setToolTip(_("This farm, its people and its numbers are made up."))
        self.week = QLabel()
        self.week.setObjectName("heading")
        self.week.setAccessibleName(_("Week shown"))
        self.earlier = self._step_button("earlier", _("The week before (Alt+Left)"), -1)
        self.later = self._step_button("later", _("The week after (Alt+Right)"), 1)
        self.person = QComboBox()
        self.person.setAccessibleName(_("At the desk"))
        self.person.setToolTip(
            _("Who is keying in. The name is kept with every change, so that people can ask.")
        )
        self.person.setMinimumContentsLength(12)
        self.person.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.person.activated.connect(
            lambda _place: self.person_chosen.emit(str(self.person.currentData() or ""))
        )
        self.desk = QLabel(_("At the desk"))
        self.desk.setObjectName("quiet")
        self.desk.setToolTip(self.person.toolTip())
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        for part in (self.farm_name, self.badge):
            layout.addWidget(part)
        layout.addStretch(1)
        for step in (self.earlier, self.week, self.later):
            layout.addWidget(step)
        layout.addStretch(1)
        layout.addWidget(self.desk)
        layout.addWidget(self.person)
        self.shown_week = ""
        self.draw()
        self.show_week("", False, False)

    def draw(self) -> None:
        """Draw the icons in the colours of the look, the name larger; large type leaves the name what room there is."""
        look, is_large = theme.now(), bool(settings.read(settings.LARGE_TYPE))
        self.farm_name.setFont(theme.scaled(self.font(), 1.0 if is_large else 1.3, bold=True))
        self.desk.setVisible(not is_large)
        self.earlier.setIcon(icons.icon("earlier", look.ink))
        self.later.setIcon(icons.icon("later", look.ink))

    def show_farm(self, info: FarmInfo, people: Sequence[Person], person_id: str) -> None:
        """Show a farm and the people who may sit at the desk."""
        self.farm_name.setText(info.name)
        self.badge.setVisible(info.invented)
        self.person.clear()
        self.person.addItem(_("nobody named"), "")
        for person in sorted(people, key=lambda item: item.name.casefold()):
            if person.active:
                self.person.addItem(person.name, person.id)
        self.show_person(person_id)

    def show_person(self, person_id: str) -> None:
        """Show who sits at the desk."""
        self.person.setCurrentIndex(max(self.person.findData(person_id), 0))

    def show_week(self, week: str, has_earlier: bool, has_later: bool) -> None:
        """Show the week of a screen, or none where a screen has no week."""
        self.shown_week = week
        for part in (self.earlier, self.week, self.later):
            part.setVisible(bool(week))
        self.earlier.setEnabled(has_earlier)
        self.later.setEnabled(has_later)
        if week:
            shown = Week.parse(week)
            self.week.setText(f"{week}   {words.day(shown.monday)} – {words.day(shown.sunday)}")

    def _step_button(self, drawing: str, name: str, step: int) -> QToolButton:
        button = QToolButton()
        button.setObjectName("step")
        button.setAccessibleName(name)
        button.setToolTip(name)
        button.setIconSize(QSize(16, 16))
        button.setProperty("drawing", drawing)
        button.clicked.connect(lambda: self.stepped.emit(step))
        return button
