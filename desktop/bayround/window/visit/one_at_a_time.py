"""One reading at a time, and the newest one last."""

from __future__ import annotations

from collections.abc import Callable


class OneAtATime:
    """Asks for one reading; asked again while it is under way, it asks once more afterwards, never twice."""

    def __init__(self, ask: Callable[[Callable[[], None]], None]) -> None:
        self._ask = ask
        self._under_way = False
        self._again = False

    def __call__(self) -> None:
        """Ask, or note that it is to be asked again."""
        if self._under_way:
            self._again = True
            return
        self._under_way, self._again = True, False
        self._ask(self._over)

    def _over(self) -> None:
        self._under_way = False
        if self._again:
            self()
