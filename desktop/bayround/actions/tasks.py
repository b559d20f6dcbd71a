"""How a screen asks for work: reads and changes run off the screen's thread, results come back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

Result = TypeVar("Result")


class Tasks(Protocol):
    """Runs work one after another on the thread that owns the farm file.

    *done* and *failed* are called back on the screen's thread. Tests use one that runs at once.
    """

    def ask(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None],
        failed: Callable[[BaseException], None] | None = None,
    ) -> None:
        """Read something; without *failed* an error is shown to the person."""

    def change(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None] | None = None,
        failed: Callable[[BaseException], None] | None = None,
    ) -> None:
        """Write something; screens that show the farm are told afterwards to read again."""

    def drain(self) -> None:
        """Wait until everything asked for so far is finished (before closing)."""


class AtOnce:
    """Tasks for the command line and for tests: everything happens in the call itself."""

    def __init__(self, changed: Callable[[], None] | None = None) -> None:
        self._changed = changed

    def ask(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None],
        failed: Callable[[BaseException], None] | None = None,
    ) -> None:
        """Run *work*, then *done* or *failed*."""
        try:
            result = work()
        except Exception as error:
            if failed is None:
                raise
            failed(error)
            return
        done(result)

    def change(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None] | None = None,
        failed: Callable[[BaseException], None] | None = None,
    ) -> None:
        """Run *work*, tell the listeners, then *done* or *failed*."""

        def tell(result: Result) -> None:
            if done is not None:
                done(result)
            if self._changed is not None:
                self._changed()

        self.ask(work, tell, failed)

    def drain(self) -> None:
        """Nothing waits here."""
