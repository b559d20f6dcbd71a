"""One writer a farm file, held by a lock of the operating system that a crash lets go of."""

from __future__ import annotations

import os
from pathlib import Path

from filelock import FileLock, Timeout

from bayround.facts.problems import FarmFileProblem
from bayround.records import problems
from bayround.words import _


class WriterLock:
    """Held from opening a farm file for writing until it is closed.

    The file beside the farm file carries no meaning of its own: after a crash it stays behind and
    does no harm, because the lock belongs to the process and not to the file.
    """

    def __init__(self, farm_file: Path) -> None:
        """Take the lock of *farm_file*.

        Raises:
            FarmFileProblem: when another copy of Bayround writes to it, or no file can be made beside it.
        """
        self.file = lock_file(farm_file)
        self._lock = FileLock(self.file, timeout=0, thread_local=False)
        try:
            self._lock.acquire()
        except Timeout as held:  # a kind of OSError, so it comes first
            raise FarmFileProblem(
                _("“{name}” is open in another copy of Bayround.").format(name=farm_file.name),
                _("The file was left as it is."),
                _("Close the other copy first, or go on there."),
            ) from held
        except OSError as error:
            raise problems.of_system(error, farm_file) from error

    def release(self) -> None:
        """Let go of the lock and take its file away where the system allows."""
        if os.name != "nt":
            self._remove()  # while it is still held, so that nobody's new lock is removed
        self._lock.release()
        if os.name == "nt":
            self._remove()  # Windows refuses while anybody has it open, which is what is wanted

    def _remove(self) -> None:
        try:
            self.file.unlink()
        except OSError:
            return  # a lock file left behind does no harm


def lock_file(farm_file: Path) -> Path:
    """Return the file beside *farm_file* that shows that somebody has it open."""
    return farm_file.with_name(farm_file.name + ".open-in-bayround")


def journal(farm_file: Path) -> Path:
    """Return the file in which SQLite keeps what it needs to undo a step; left behind by a crash."""
    return farm_file.with_name(farm_file.name + "-journal")


def left_by_a_crash(farm_file: Path) -> bool:
    """Tell whether a farm file was not closed, or is open elsewhere just now."""
    return lock_file(farm_file).exists() or journal(farm_file).exists()
