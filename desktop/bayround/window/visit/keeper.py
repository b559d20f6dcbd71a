"""Saves what is typed, one transaction each; what can't be saved stays here and is tried again."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from bayround.actions.tasks import Tasks
from bayround.facts.problems import Overtaken, Refused, TypedMeanwhile

Key = Hashable
Work = Callable[[], object]

RETRY_AFTER_MS = 4000


@dataclass(slots=True)
class _Waiting:
    """The newest work of one key. *failed* once it could not be done; *under_way* while it is tried."""

    work: Work
    ticket: int
    under_way: bool = True
    failed: bool = False


class Keeper(QObject):
    """Holds every change from the key press until it is in the file.

    Changes of one key replace each other; the newest wins, also over a retry that is still under way.

    Signals:
        changed: what waits or could not be saved is different now.
        failed: the first change that could not be saved, with the error; again only after a clear spell.
        cleared: everything typed is in the file again.
        refused: a change that the file will never take, with the reason; it is not tried again.
    """

    changed = Signal()
    failed = Signal(object)
    cleared = Signal()
    refused = Signal(object)

    def __init__(self, tasks: Tasks, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._tasks = tasks
        self._waiting: dict[Key, _Waiting] = {}
        self._tickets = 0
        self._timer = QTimer(self)
        self._timer.setInterval(RETRY_AFTER_MS)
        self._timer.timeout.connect(self.retry)

    @property
    def waiting(self) -> frozenset[Key]:
        """Keys whose newest change is not known to be in the file yet."""
        return frozenset(self._waiting)

    @property
    def not_saved(self) -> frozenset[Key]:
        """Keys whose newest change could not be saved so far."""
        return frozenset(key for key, entry in self._waiting.items() if entry.failed)

    def keep(self, key: Key, work: Work) -> None:
        """Save one change now; earlier ones that failed are tried first."""
        self.keep_all({key: work}, work)

    def keep_all(self, works: Mapping[Key, Work], together: Work) -> None:
        """Save several changes in one transaction; if that fails each is tried again by itself."""
        self.retry()
        self._tickets += 1
        ticket = self._tickets
        for key, work in works.items():
            self._waiting[key] = _Waiting(work, ticket)
        self._run(tuple(works), ticket, together)

    def retry(self) -> None:
        """Try again what could not be saved, oldest first."""
        for key, entry in list(self._waiting.items()):
            if entry.failed and not entry.under_way:
                entry.under_way = True
                self._run((key,), entry.ticket, entry.work)

    def _run(self, keys: tuple[Key, ...], ticket: int, work: Work) -> None:
        self._tasks.change(
            work, lambda _result: self._done(keys, ticket), lambda error: self._failed(keys, ticket, error)
        )
        self.changed.emit()

    def _done(self, keys: tuple[Key, ...], ticket: int) -> None:
        had_failed = bool(self.not_saved)
        for key in keys:
            if key in self._waiting and self._waiting[key].ticket == ticket:
                del self._waiting[key]
        self.changed.emit()
        if had_failed and not self.not_saved:
            self._timer.stop()
            self.cleared.emit()

    def _failed(self, keys: tuple[Key, ...], ticket: int, error: BaseException) -> None:
        if isinstance(error, TypedMeanwhile) and len(keys) > 1:  # the others of the block have no quarrel
            for key in keys:
                entry = self._waiting.get(key)
                if entry is not None and entry.ticket == ticket:
                    self._run((key,), ticket, entry.work)
            return
        if isinstance(error, Refused | Overtaken):
            self._done(keys, ticket)
            self.refused.emit(error)
            return
        first = not self.not_saved
        for key in keys:
            entry = self._waiting.get(key)
            if entry is not None and entry.ticket == ticket:
                entry.failed, entry.under_way = True, False
        if self.not_saved and not self._timer.isActive():
            self._timer.start()
        self.changed.emit()
        if first and self.not_saved:
            self.failed.emit(error)
