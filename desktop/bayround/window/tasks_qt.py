"""Work off the screen's thread: one worker owns the farm file, a second one does long exports.

The workers never touch Qt: a signal emitted from a plain Python thread holds the interpreter's lock while it waits
for Qt's own, and the screen's thread may hold those the other way round. A timer looks for results instead.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from bayround.window.collector import ScreenCollector

Result = TypeVar("Result")
Show = Callable[[BaseException], object]

BUSY_AFTER_MS = 300
_LOOK_EVERY_MS = 4


@dataclass(slots=True)
class _Job:
    """One piece of work and whom to tell; *result* or *error* is set by the worker."""

    work: Callable[[], Any]
    done: Callable[[Any], None] | None
    failed: Show | None
    changes: bool
    result: Any = None
    error: BaseException | None = None


def _nothing() -> None:
    return None


class QtTasks(QObject):
    """`actions.tasks.Tasks` for the window.

    Work on the farm runs one after another on one thread; results come back on the screen's thread.
    An error nobody asked to hear of goes to *show*.
    """

    changed = Signal()
    busy = Signal(bool)

    def __init__(self, show: Show, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._show = show
        self._collector = ScreenCollector(self)
        self._farm_worker = ThreadPoolExecutor(1, thread_name_prefix="farm file")
        self._free_worker = ThreadPoolExecutor(1, thread_name_prefix="export")
        self._finished: deque[_Job] = deque()
        self._waiting: dict[int, Future[None]] = {}
        self.pending = 0
        self._closed = False
        self._look = QTimer(self)
        self._look.setTimerType(Qt.TimerType.PreciseTimer)
        self._look.setInterval(_LOOK_EVERY_MS)
        self._look.timeout.connect(self._deliver_all)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(BUSY_AFTER_MS)
        self._patience.timeout.connect(self._tell_busy)
        self._said_busy = False

    def ask(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None],
        failed: Show | None = None,
    ) -> None:
        """Read something on the farm's thread."""
        self._submit(self._farm_worker, _Job(work, done, failed, changes=False))

    def change(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None] | None = None,
        failed: Show | None = None,
    ) -> None:
        """Write something on the farm's thread; `changed` is emitted after *done*."""
        self._submit(self._farm_worker, _Job(work, done, failed, changes=True))

    def aside(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None],
        failed: Show | None = None,
    ) -> None:
        """Do something long that needs no farm file (writing a workbook from a finished picture)."""
        self._submit(self._free_worker, _Job(work, done, failed, changes=False))

    def drain(self) -> None:
        """Wait until everything asked for so far is finished and told; what that asks for too."""
        while self._waiting or self._finished:
            for future in list(self._waiting.values()):
                future.result()
            while self._finished:
                self._deliver_one()

    def wait_for(self, ready: Callable[[], bool]) -> None:
        """Wait until *ready*, telling what is finished meanwhile; or until nothing is left that was asked for."""
        while not ready() and (self._waiting or self._finished):
            if not self._finished:
                wait(list(self._waiting.values()), return_when=FIRST_COMPLETED)
            self._deliver_one()

    def stop(self) -> None:
        """Finish what was begun, then end both threads; nothing can be asked afterwards."""
        self.drain()
        self._closed = True
        self._rest()
        self._farm_worker.shutdown()
        self._free_worker.shutdown()
        self._collector.stop()

    def _submit(self, worker: ThreadPoolExecutor, job: _Job) -> None:
        if self._closed:
            raise RuntimeError("Work was asked for after closing.")
        self.pending += 1
        if self.pending == 1:
            self._patience.start()
            self._look.start()
        self._waiting[id(job)] = worker.submit(self._run, job)

    def _run(self, job: _Job) -> None:
        try:
            job.result = job.work()
        except BaseException as error:  # handed over to the screen's thread
            job.error = error
        self._finished.append(job)

    def _deliver_all(self) -> None:
        for _job in range(len(self._finished)):
            self._deliver_one()

    def _deliver_one(self) -> None:
        if not self._finished:
            return
        job = self._finished.popleft()
        self._waiting.pop(id(job), None)
        self.pending -= 1
        if self.pending == 0:
            self._rest()
        try:
            self._tell(job)
        except Exception as error:
            self._show(error)
        # The worker may be the last to let go of the job: nothing of a window may hang on it then.
        job.work, job.done, job.failed, job.result = _nothing, None, None, None

    def _tell(self, job: _Job) -> None:
        if job.error is not None:
            (job.failed or self._show)(job.error)
            return
        if job.done is not None:
            job.done(job.result)
        if job.changes:
            self.changed.emit()

    def _tell_busy(self) -> None:
        self._said_busy = True
        self.busy.emit(True)

    def _rest(self) -> None:
        self._patience.stop()
        self._look.stop()
        if self._said_busy:
            self._said_busy = False
            self.busy.emit(False)
