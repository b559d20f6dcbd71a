"""The screens, made when first gone to, one on top; a page is left only when its open editor is kept."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from bayround.window.desk import Desk
from bayround.window.parts.screen import Screen
from bayround.window.screens import SCREENS, MakeScreen


class PageStack(QStackedWidget):
    """Shows one `Screen` at a time.

    Attributes:
        came_up: the name of the screen that is shown now.
        stayed: the name of the screen that could not be left.
        week_shown: the week of the screen that is shown, and whether it can step back and on.
    """

    came_up = Signal(str)
    stayed = Signal(str)
    week_shown = Signal(str, bool, bool)

    def __init__(
        self, desk: Desk, screens: Mapping[str, MakeScreen] = SCREENS, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._desk = desk
        self._make = screens
        self._made: dict[str, Screen] = {}
        self._stale: set[str] = set()
        self._keys: dict[str, str] = {}
        self._weeks: dict[str, tuple[str, bool, bool]] = {}
        self._kept: dict[str, dict[str, str]] = {}

    @property
    def current(self) -> Screen | None:
        """The screen that is shown."""
        shown = self.currentWidget()
        return shown if isinstance(shown, Screen) else None

    def go(self, name: str, key: str = "") -> bool:
        """Show a screen, and on it what *key* names; false when the present one could not be left."""
        current = self.current
        if current is not None and (current.name != name or key) and not current.commit_open_edit():
            self.stayed.emit(current.name)
            return False
        is_new = name not in self._made
        screen = self._screen(name)
        if key:
            self._keys[name] = key
        self.setCurrentWidget(screen)
        if is_new or key or name in self._stale:
            self._stale.discard(name)
            screen.show_again(key or (self._keys.get(name, "") if is_new else ""))
        self.came_up.emit(name)
        self.week_shown.emit(*self._weeks.get(name, ("", False, False)))
        screen.first_focus().setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def farm_changed(self) -> None:
        """Let every screen but the one at work read again when it is next shown."""
        current = self.current
        self._stale = {name for name in self._made if current is None or name != current.name}

    def day_changed(self) -> None:
        """Read the screen that is shown again, the others when they are shown."""
        self.farm_changed()
        if self.current is not None and self.current.commit_open_edit():
            self.current.show_again()

    def make_anew(self) -> None:
        """Make every screen anew (another look or size of type), each where it was, and show the present one."""
        current = self.current
        if current is None:
            return
        self._desk.tasks.drain()
        name = current.name
        self._kept = {made: screen.kept() for made, screen in self._made.items()}
        self._keys |= {made: kept["key"] for made, kept in self._kept.items() if kept.get("key")}
        for screen in self._made.values():
            self.removeWidget(screen)
            screen.deleteLater()
        self._made.clear()
        self._weeks.clear()
        self.go(name)

    def _screen(self, name: str) -> Screen:
        if name not in self._made:
            screen = self._make[name](self._desk)
            screen.week_shown.connect(
                lambda week, before, after, name=name: self._note_week(name, week, before, after)
            )
            screen.take_up(self._kept.pop(name, {}))
            self._made[name] = screen
            self.addWidget(screen)
        return self._made[name]

    def _note_week(self, name: str, week: str, has_earlier: bool, has_later: bool) -> None:
        self._weeks[name] = (week, has_earlier, has_later)
        if self.current is not None and self.current.name == name:
            self.week_shown.emit(week, has_earlier, has_later)
