"""Changes of a finished bay: each is a correction, and its reason is asked for once a bay."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QApplication, QWidget

from bayround.window.parts.ask_line import AskLine
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Wanted:
    """One change that was typed: its keys as the keeper knows them, how to save it, and the way back to it."""

    keys: frozenset[Hashable]
    save: Callable[[str], None]
    go_back: Callable[[], None]


class Correcting(QObject):
    """Holds changes until there is a reason for it; the reason then goes for the whole bay.

    Signals:
        asking: a reason is wanted (true), or the question is over (false).
        given_up: the change was left; what is in the file stands.
    """

    asking = Signal(bool)
    given_up = Signal()
    _soon = Signal()

    def __init__(self, ask: AskLine, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._ask = ask
        self._wanted: list[Wanted] = []
        self.reason = ""
        # After the key that ended the cell has done all it does, the keyboard included:
        self._soon.connect(self._show, Qt.ConnectionType.QueuedConnection)

    @property
    def waiting(self) -> frozenset[Hashable]:
        """Keys of the changes that wait for their reason."""
        return frozenset(key for wanted in self._wanted for key in wanted.keys)

    def want(self, wanted: Wanted) -> None:
        """Save a change as a correction, after asking why if nobody said so in this bay yet."""
        if self.reason:
            wanted.save(self.reason)
            return
        self._wanted.append(wanted)
        self._soon.emit()

    def insist(self) -> bool:
        """Tell whether a reason is still wanted; the keyboard then goes to the question."""
        if self._wanted and self._ask.isVisible():
            self._ask.line.setFocus(Qt.FocusReason.OtherFocusReason)
        return bool(self._wanted)

    def leave_bay(self) -> None:
        """Forget the reason: the next bay has its own."""
        self.reason = ""
        self._end()

    def _show(self) -> None:
        if not self._wanted or self._ask.isVisible():
            return
        self.asking.emit(True)
        before = QApplication.focusWidget()
        self._ask.ask(
            _("This bay is finished. Why is it corrected? What stood there before is kept."),
            _("Reason for the corrections of this bay"),
            lambda reason: self._keep(reason, before),
            self._leave,
        )

    def _keep(self, reason: str, before: QWidget | None) -> None:
        changes = self._end()
        self.reason = reason
        if before is not None:
            before.setFocus(Qt.FocusReason.OtherFocusReason)
        for wanted in changes:
            wanted.save(reason)

    def _leave(self) -> None:
        changes = self._end()
        self.given_up.emit()
        if changes:
            changes[0].go_back()

    def _end(self) -> list[Wanted]:
        changes, self._wanted = self._wanted, []
        self._ask.hide()
        self.asking.emit(False)
        return changes
