"""The shape of a screen: reads the farm again when asked, never loses an open editor."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from bayround.window.desk import Desk


class Screen(QWidget):
    """Base of the screens; the main window stacks them.

    Subclasses keep frozen values or ids only, and ask for work through ``self.desk.tasks``.

    Attributes:
        steps_weeks: the screen shows one week and can step to its neighbours.
        week_shown: emitted with the week's name and whether there is an earlier and a later one.
    """

    name = ""
    title = ""
    steps_weeks = False
    week_shown = Signal(str, bool, bool)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk

    def show_again(self, key: str = "") -> None:
        """Read the farm again and show it; *key* is the id of what to show (bay, round, job key)."""

    def commit_open_edit(self) -> bool:
        """Keep what stands in an open editor; false when its value is refused and it stays open.

        Called before the page changes, before export and before closing.
        """
        return True

    def kept(self) -> dict[str, str]:
        """Return what a person chose here, for `take_up` once the screen is made anew; *key* is for `show_again`."""
        return {}

    def bay_here(self) -> str:
        """Return the id of the bay or house a person is at, for screens that start with it; empty when none."""
        return self.kept().get("key", "")

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Choose again what `kept` named; called on a screen just made, before its first `show_again`."""

    def step_week(self, weeks: int) -> None:
        """Show the week so many weeks later (earlier when negative), where the screen shows weeks."""

    def first_focus(self) -> QWidget:
        """Return the part that takes the keyboard when the screen comes up."""
        return self
