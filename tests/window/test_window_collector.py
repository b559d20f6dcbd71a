"""Unused parts of a window are thrown away on the screen's thread, never on the farm's.

Guards a deadlock between Qt's lock and the interpreter's that was caught in a debugger: the farm's thread
collected rubbish that held a closed window's widgets.
"""

from __future__ import annotations

import gc
import threading

from PySide6.QtCore import QObject

from bayround.window.collector import ScreenCollector
from bayround.window.tasks_qt import QtTasks


class Seen(QObject):
    """A part of a window in a circle of references; says in which thread it went."""

    def __init__(self, went_in: list[int]) -> None:
        super().__init__()
        self.circle = self
        self.went_in = went_in

    def __del__(self) -> None:
        self.went_in.append(threading.get_ident())


def rubbish_maker() -> int:
    """Make so many objects that Python's own collector would run several times."""
    return len([[place] for place in range(200_000)])


def test_the_farm_s_thread_never_collects(tasks: QtTasks) -> None:
    went_in: list[int] = []
    for _again in range(20):
        Seen(went_in)
    tasks.ask(rubbish_maker, lambda _made: None)
    tasks.drain()
    assert not [thread for thread in went_in if thread != threading.get_ident()]
    gc.collect()
    assert len(went_in) == 20


def test_the_screen_s_thread_collects_what_is_due_and_gives_it_back(qapp: object) -> None:
    collector, other = ScreenCollector(), ScreenCollector()
    assert not gc.isenabled()
    other.stop()
    assert not gc.isenabled()
    went_in: list[int] = []
    Seen(went_in)
    kept = [[place] for place in range(gc.get_threshold()[0] + 10)]
    collector.collect_due()
    assert went_in == [threading.get_ident()]
    collector.stop()
    assert gc.isenabled()
    assert kept
