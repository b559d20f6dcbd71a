"""What lies inside an interval and is not explained: a line under the header of every screen, and the list behind it."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from bayround.actions import inside
from bayround.actions.inside import Found
from bayround.actions.jobs import Moment
from bayround.facts.problems import Problem
from bayround.window.desk import Desk
from bayround.window.parts.inside_dialog import InsideDialog
from bayround.words import _, counted

_NAMED = 1


class InsideBar(QFrame):
    """Hidden while everything is explained. After every change it counts, and looks again where that may matter.

    Attributes:
        found: what is not explained, as read last. dialog: the list, when it is open.
    """

    def __init__(self, desk: Desk, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._window = desk, window
        self._last: inside.Look | None = None
        self.found: tuple[Found, ...] = ()
        self.dialog: InsideDialog | None = None
        self.setObjectName("caution")
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.button = QPushButton(_("Explain or put right …"))
        self.button.setToolTip("Ctrl+Shift+I")
        self.button.setAccessibleName(_("Explain or put right what lies inside an interval"))
        self.button.clicked.connect(self.open_list)
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 4, 16, 4)
        row.setSpacing(8)
        row.addWidget(self.said, 1)
        row.addWidget(self.button)
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(300)
        self._wait.timeout.connect(self.look)
        self.hide()

    def farm_changed(self) -> None:
        """Look again soon and once."""
        self._wait.start()

    def stop(self) -> None:
        """Look no more: the window closes."""
        self._wait.stop()

    def look(self) -> None:
        """Read what is not explained, where anything changed that it rests on."""
        farm, last = self._desk.farm, self._last
        self._desk.tasks.ask(lambda: inside.look(farm, last), self._show)

    def open_list(self) -> None:
        """Show the list, or say that there is nothing on it."""
        farm = self._desk.farm
        self._desk.tasks.ask(lambda: inside.read(farm), self._open)

    def _show(self, now: inside.Look) -> None:
        before, self._last = self._last, now
        if now is before:
            return
        self.found = now.found
        self.said.setText(_bar_text(self.found))
        self.setVisible(bool(self.found))
        new = frozenset() if before is None else now.treatments - before.treatments
        if any(item.id + item.known_as in new for one in self.found for item in one.inside.unexplained):
            self._open(self.found)

    def _open(self, found: tuple[Found, ...]) -> None:
        if not found:
            self._desk.tell(_("Nothing lies inside an interval without an explanation."))
        elif self.dialog is not None and self.dialog.isVisible():
            self.dialog.show_found(found)
        else:
            self.dialog = InsideDialog(found, self._window)
            self.dialog.explained.connect(self._explain)
            self.dialog.wanted.connect(self._go)
            self.dialog.open()

    def _explain(self, chosen: list[Found], said: str) -> None:
        desk, dialog = self._desk, self.dialog
        moment = Moment(desk.today(), desk.now(), desk.person_id)

        def work() -> tuple[Found, ...]:
            inside.explain(desk.farm, [one.inside for one in chosen], said, moment)
            return inside.read(desk.farm)

        def refused(error: BaseException) -> None:
            if not isinstance(error, Problem) or dialog is None:
                raise error
            dialog.notice.refuse(error)

        if dialog is not None:
            desk.tasks.change(work, dialog.show_found, refused)

    def _go(self, screen: str, key: str) -> None:
        if self.dialog is not None:
            self.dialog.close()
        self._desk.go(screen, key)


def _bar_text(found: tuple[Found, ...]) -> str:
    if not found:
        return ""
    head = counted(
        "✕ {n} record lies inside an interval and is not explained.",
        "✕ {n} records lie inside an interval and are not explained.",
        len(found),
    )
    first = found[0]
    named = f"{first.bay_name}: {first.inside.short}" + (" …" if len(found) > _NAMED else "")
    return f"{head} {named}"
