"""The keeper: the newest value of a cell wins, and what failed is tried again in order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from bayround.window.visit.keeper import Keeper


class Later:
    """Tasks that run when told to, so that what is under way can be looked at."""

    def __init__(self) -> None:
        self.queue: list[tuple[Callable[[], Any], Any, Any]] = []
        self.broken = False

    def ask(self, work: Any, done: Any, failed: Any = None) -> None:
        self.queue.append((work, done, failed))

    change = ask

    def drain(self) -> None:
        while self.queue:
            self.one()

    def one(self) -> None:
        work, done, failed = self.queue.pop(0)
        if self.broken:
            failed(OSError("the stick was pulled out"))
        else:
            done(work())


def keeper(tasks: Later) -> tuple[Keeper, list[object], list[str]]:
    kept, written, told = Keeper(tasks), [], []
    kept.failed.connect(lambda error: told.append(f"failed: {error}"))
    kept.cleared.connect(lambda: told.append("cleared"))
    return kept, written, told


def test_a_saved_value_waits_no_more(qapp: object) -> None:
    tasks = Later()
    kept, written, told = keeper(tasks)
    kept.keep("a", lambda: written.append(1))
    assert kept.waiting == {"a"}
    tasks.drain()
    assert (kept.waiting, written, told) == (frozenset(), [1], [])


def test_what_failed_is_told_once_and_saved_at_the_next_save(qapp: object) -> None:
    tasks = Later()
    kept, written, told = keeper(tasks)
    tasks.broken = True
    kept.keep("a", lambda: written.append("a"))
    tasks.drain()
    kept.keep("b", lambda: written.append("b"))
    tasks.drain()
    assert kept.not_saved == {"a", "b"}
    assert told == ["failed: the stick was pulled out"]
    tasks.broken = False
    kept.keep("c", lambda: written.append("c"))
    tasks.drain()
    assert written == ["a", "b", "c"]
    assert (kept.not_saved, told[-1]) == (frozenset(), "cleared")


def test_a_newer_value_is_never_overwritten_by_the_retry_of_an_older_one(qapp: object) -> None:
    tasks = Later()
    kept, written, _told = keeper(tasks)
    tasks.broken = True
    kept.keep("a", lambda: written.append("old"))
    tasks.drain()
    tasks.broken = False
    kept.retry()  # the old one is under way ...
    kept.keep("a", lambda: written.append("new"))  # ... while the new one is typed
    tasks.one()
    assert kept.waiting == {"a"}
    tasks.drain()
    assert written == ["old", "new"]
    assert kept.waiting == frozenset()


def test_a_newer_value_replaces_one_that_could_not_be_saved(qapp: object) -> None:
    tasks = Later()
    kept, written, _told = keeper(tasks)
    tasks.broken = True
    kept.keep("a", lambda: written.append("old"))
    kept.keep("a", lambda: written.append("new"))
    tasks.drain()
    tasks.broken = False
    kept.retry()
    tasks.drain()
    assert written == ["new"]


def test_a_block_that_failed_is_tried_again_cell_by_cell(qapp: object) -> None:
    tasks = Later()
    kept, written, _told = keeper(tasks)
    tasks.broken = True
    kept.keep_all(
        {"a": lambda: written.append("a"), "b": lambda: written.append("b")}, lambda: written.append("block")
    )
    tasks.drain()
    assert kept.not_saved == {"a", "b"}
    tasks.broken = False
    kept.retry()
    tasks.drain()
    assert written == ["a", "b"]
