"""The house check: five parts, each good, fault or not looked at, with a note; done in half a minute by keys."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import house_checks
from bayround.actions.house_checks import HouseState
from bayround.actions.jobs import Moment
from bayround.facts.kept import HOUSE_PARTS, Condition
from bayround.window import theme
from bayround.window.desk import Desk
from bayround.window.parts.caution_box import CautionBox
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.notice import Notice
from bayround.window.parts.screen import Screen
from bayround.words import _

_SIGNS = {Condition.GOOD: "✓", Condition.FAULT: "✕", Condition.NOT_LOOKED_AT: "–"}


class _Choice(QComboBox):
    """Good, fault or not looked at; the first letter chooses, Enter goes on."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        for condition in (Condition.NOT_LOOKED_AT, Condition.GOOD, Condition.FAULT):
            self.addItem(f"{_SIGNS[condition]} {_(condition.value).capitalize()}", condition)

    @property
    def condition(self) -> Condition:
        """What is chosen."""
        return Condition(self.currentData())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the first letters of the words."""
        letter = event.text().casefold()
        if letter and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            for place in range(self.count()):
                if self.itemText(place)[2:].casefold().startswith(letter):
                    self.setCurrentIndex(place)
                    self.focusNextChild()
                    return
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.focusNextChild()
            return
        super().keyPressEvent(event)


class _Note(QLineEdit):
    """One line in which Enter goes on."""

    entered = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter; the rest is typing."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.focusNextChild()
        else:
            super().keyPressEvent(event)


class HouseScreen(Screen):
    """One house at a time; what is chosen is kept with Ctrl+S."""

    name = "house"
    title = "House check"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.states: tuple[HouseState, ...] = ()
        self.house = QComboBox()
        self.house.setAccessibleName(_("House"))
        self.choices = {part: _Choice(_(part).capitalize()) for part in HOUSE_PARTS}
        self.notes = {part: _Note() for part in HOUSE_PARTS}
        self.last = {part: QLabel() for part in HOUSE_PARTS}
        self.keep = QPushButton(_("&Keep the check  (Ctrl+S)"))
        self.keep.setProperty("main", True)
        self.back = QPushButton(_("Back to the week (Esc)"))
        self.notice = Notice()
        self.empty = EmptyState()
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._build_page())
        self._pages.addWidget(self.empty)
        self.keep.clicked.connect(self.keep_check)
        self.back.clicked.connect(lambda: self.desk.go("week", ""))
        self.house.currentIndexChanged.connect(lambda _place: self._show_house())
        QShortcut(QKeySequence("Ctrl+S"), self).activated.connect(self.keep_check)

    def show_again(self, key: str = "") -> None:
        """Read the houses again; *key* is the id of a house or of a bay in it."""
        farm = self.desk.farm
        wanted = key or str(self.house.currentData() or "")
        self.desk.tasks.ask(lambda: house_checks.read(farm, wanted), self._show)

    def commit_open_edit(self) -> bool:
        """Keep what was chosen; false when it is refused."""
        if not self._looks():
            return True
        self.keep_check()
        self.desk.tasks.drain()
        return not self._looks()

    def first_focus(self) -> QWidget:
        """Return the first part, or the button of a farm without houses."""
        return (
            self.empty.button if self._pages.currentWidget() is self.empty else self.choices[HOUSE_PARTS[0]]
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape throws the choices away and goes back."""
        if event.key() == Qt.Key.Key_Escape:
            self._clear()
            self.desk.go("week", "")
        else:
            super().keyPressEvent(event)

    def keep_check(self) -> None:
        """Keep the check of the house shown."""
        house_id = str(self.house.currentData() or "")
        looks = {part: (self.choices[part].condition, self.notes[part].text()) for part in HOUSE_PARTS}
        farm, today = self.desk.farm, self.desk.today()
        moment = Moment(today, self.desk.now(), self.desk.person_id)
        self.desk.tasks.change(
            lambda: house_checks.record(farm, house_id, looks, today, moment),
            lambda _made: self._kept(),
            self.notice.refuse,
        )

    def _build_page(self) -> QWidget:
        top = QHBoxLayout()
        title = QLabel(_("House check"))
        title.setFont(theme.scaled(self.font(), 1.3, bold=True))
        label = QLabel(_("H&ouse"))
        label.setBuddy(self.house)
        top.addWidget(title)
        top.addSpacing(24)
        top.addWidget(label)
        top.addWidget(self.house, 1)
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(24, 16, 24, 16)
        layout.setSpacing(16)
        layout.addLayout(top)
        layout.addWidget(CautionBox((house_checks.CAUTION,)))
        layout.addLayout(self._parts())
        layout.addWidget(self.notice)
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        buttons.addWidget(self.keep)
        buttons.addWidget(self.back)
        buttons.addStretch(1)
        layout.addLayout(buttons)
        layout.addStretch(1)
        return page

    def _parts(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(8)
        for column, text in enumerate((_("Part"), _("Found"), _("Note: what and where"), _("Last time"))):
            heading = QLabel(text)
            heading.setObjectName("quiet")
            grid.addWidget(heading, 0, column)
        for row, part in enumerate(HOUSE_PARTS, start=1):
            words = QLabel(f"{_(part).capitalize()}\n{_(house_checks.LOOK_FOR[part])}")
            words.setWordWrap(True)
            self.notes[part].setAccessibleName(_("Note on {part}").format(part=_(part)))
            self.last[part].setWordWrap(True)
            self.last[part].setTextFormat(Qt.TextFormat.PlainText)
            for column, widget in enumerate((words, self.choices[part], self.notes[part], self.last[part])):
                grid.addWidget(widget, row, column)
        for column, stretch in ((0, 3), (1, 0), (2, 4), (3, 2)):
            grid.setColumnStretch(column, stretch)
        return grid

    def _show(self, states: tuple[HouseState, ...]) -> None:
        self.states = states
        if not states:
            self.empty.say(
                _("This farm has no house yet."),
                _("Enter its houses first; then each can be checked here."),
                _("&Set up the farm"),
                lambda: self.desk.go("farm", ""),
            )
            self._pages.setCurrentWidget(self.empty)
            return
        self._pages.setCurrentIndex(0)
        self.house.blockSignals(True)
        self.house.clear()
        for state in states:
            fault = _("  ✕ fault") if state.faults else ""
            self.house.addItem(f"{state.house.name}{fault}", state.house.id)
        self.house.setCurrentIndex(0)
        self.house.blockSignals(False)
        self._show_house()

    def _show_house(self) -> None:
        place = self.house.currentIndex()
        if 0 <= place < len(self.states):
            self._clear()
            for part in HOUSE_PARTS:
                self.last[part].setText(self.states[place].told(part))

    def _clear(self) -> None:
        for part in HOUSE_PARTS:
            self.choices[part].setCurrentIndex(0)
            self.notes[part].clear()
        self.notice.clear()

    def _looks(self) -> bool:
        return any(choice.condition is not Condition.NOT_LOOKED_AT for choice in self.choices.values())

    def _kept(self) -> None:
        self._clear()
        self.desk.tell(_("The check is kept."))
        self.show_again()
        self.choices[HOUSE_PARTS[0]].setFocus(Qt.FocusReason.OtherFocusReason)
