"""Who sits at the desk of the open window: chosen by name, asked for a PIN, handed over when nobody types."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from bayround import settings
from bayround.actions import pins
from bayround.facts.farm import Person
from bayround.window import at_desk
from bayround.window.desk import Desk
from bayround.window.parts.desk_dialog import DeskDialog
from bayround.words import _

_LOOK_EVERY_MS = 10_000
_SIGNS_OF_LIFE = {
    QEvent.Type.KeyPress,
    QEvent.Type.MouseButtonPress,
    QEvent.Type.Wheel,
    QEvent.Type.MouseMove,
}


class WhoseDesk(QObject):
    """Keeps `Desk.person_id`; nothing typed is lost when it changes.

    Signals:
        changed: somebody else sits at the desk, or nobody does.

    Attributes:
        dialog: the one that is open, if any.
        keep_open_edits: keeps what stands in open fields before the desk is handed over.
    """

    changed = Signal()

    def __init__(
        self, desk: Desk, window: QWidget, keep_open_edits: Callable[[], object],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:  # fmt: skip
        super().__init__(window)
        self._desk, self._window, self.keep_open_edits, self._clock = desk, window, keep_open_edits, clock
        self._people: tuple[Person, ...] = ()
        self._with_pin: frozenset[str] = frozenset()
        self._patience = pins.Patience(clock)
        self._nobody_wanted = False
        self._last_sign = clock()
        self.dialog: DeskDialog | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(_LOOK_EVERY_MS)
        self._timer.timeout.connect(self.look)
        self._timer.start()
        window.installEventFilter(self)

    def show_people(self, people: Sequence[Person], with_pin: frozenset[str]) -> str:
        """Take the people of the farm; return who sits at the desk: still, again, or nobody."""
        self._people = tuple(
            sorted((one for one in people if one.active), key=lambda one: one.name.casefold())
        )
        self._with_pin = with_pin
        ids = {person.id for person in self._people}
        if self._desk.person_id not in ids:
            last = None if self._nobody_wanted else at_desk.last_of(ids)
            self._desk.person_id = None if last in with_pin else last
        return self._desk.person_id or ""

    def choose(self, person_id: str) -> None:
        """Let a person sit down, or nobody; who has a PIN is asked for it first."""
        if person_id in self._with_pin and person_id != self._desk.person_id:
            name = next(person.name for person in self._people if person.id == person_id)
            self._ask(_("{name} has a PIN").format(name=name), person_id, lambda: self.changed.emit())
        else:
            self._sit_down(person_id)

    def look(self) -> None:
        """Hand the desk over when it has a PIN and nobody touched a key for the minutes that were chosen."""
        minutes = int(settings.read(settings.HAND_OVER_MINUTES))
        person_id = self._desk.person_id or ""
        if QApplication.activeModalWidget() is not None:
            self._last_sign = self._clock()  # somebody is asked something; its keys go elsewhere
        idle = self._clock() - self._last_sign
        if minutes > 0 and self.dialog is None and person_id in self._with_pin and idle >= 60 * minutes:
            self.hand_over(_("Nobody typed for {n} minutes. Who sits here now?").format(n=minutes))

    def hand_over(self, heading: str) -> None:
        """Keep what is open, let nobody sit at the desk, and ask who does."""
        before = self._desk.person_id or ""
        self.keep_open_edits()
        self._sit_down("")
        self._ask(heading, before, lambda: None)

    def stop(self) -> None:
        """Look no more (the window closes)."""
        self._timer.stop()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """See that somebody is there; every event goes on its way.

        Keys and clicks are seen at the system's window, where each comes by once.
        """
        if event.type() in _SIGNS_OF_LIFE:
            self._last_sign = self._clock()
        elif event.type() == QEvent.Type.Show and watched is self._window:
            handle = self._window.windowHandle()
            if handle is not None:
                handle.installEventFilter(self)
        return False

    def _sit_down(self, person_id: str) -> None:
        self._desk.person_id, self._nobody_wanted = person_id or None, not person_id
        if person_id:
            at_desk.remember(person_id)
        self.changed.emit()

    def _ask(self, heading: str, chosen: str, left: Callable[[], None]) -> None:
        dialog = DeskDialog(
            heading, self._people, self._with_pin, chosen, self._fits, self._patience, self._window
        )
        self.dialog = dialog
        dialog.finished.connect(lambda result: self._answered(dialog, result, left))
        dialog.open()

    def _answered(self, dialog: DeskDialog, result: int, left: Callable[[], None]) -> None:
        self.dialog = None
        if result == QDialog.DialogCode.Accepted:
            self._sit_down(dialog.person_id)
        else:
            left()
        dialog.deleteLater()

    def _fits(
        self, person_id: str, pin: str, then: Callable[[bool], None], failed: Callable[[BaseException], None]
    ) -> None:
        farm = self._desk.farm
        self._desk.tasks.ask(lambda: pins.fits(farm, person_id, pin), then, failed)
