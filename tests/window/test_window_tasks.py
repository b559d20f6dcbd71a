"""Work off the screen's thread: order, owner, errors, waiting, long exports beside."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bayround.actions.tasks import Tasks
from bayround.window.parts.progress import ProgressDialog
from bayround.window.tasks_qt import QtTasks


def test_work_runs_in_order_on_one_thread_and_comes_back_here(tasks: QtTasks) -> None:
    protocol: Tasks = tasks
    here = threading.get_ident()
    workers: list[int] = []
    told: list[tuple[int, int]] = []
    for number in range(20):
        protocol.ask(
            lambda number=number: (workers.append(threading.get_ident()), number)[1],  # type: ignore[misc]
            lambda result: told.append((result, threading.get_ident())),
        )
    protocol.drain()
    assert told == [(number, here) for number in range(20)]
    assert len(set(workers)) == 1
    assert workers[0] != here


def test_an_error_goes_to_whoever_asked_else_to_the_person(
    tasks: QtTasks, faults: list[BaseException]
) -> None:
    heard: list[BaseException] = []
    first, second, third = ValueError("one"), ValueError("two"), ValueError("three")

    def fail(error: BaseException) -> Callable[[], None]:
        def work() -> None:
            raise error

        return work

    tasks.ask(fail(first), lambda _nothing: pytest.fail("told as done"), heard.append)
    tasks.change(fail(second))
    tasks.ask(lambda: 1, lambda _one: fail(third)())  # the screen itself fails when told
    after: list[int] = []
    tasks.ask(lambda: 2, after.append)
    tasks.drain()
    assert heard == [first]
    assert faults == [second, third]
    assert after == [2], "one error held up what came after it"


def test_a_change_is_announced_after_it_is_told_a_failed_one_is_not(tasks: QtTasks) -> None:
    order: list[str] = []
    tasks.changed.connect(lambda: order.append("announced"))
    tasks.change(lambda: None, lambda _nothing: order.append("told"))
    tasks.ask(lambda: None, lambda _nothing: order.append("read"))
    tasks.change(lambda: 1 / 0, failed=lambda _error: order.append("failed"))
    tasks.drain()
    assert order == ["told", "announced", "read", "failed"]


def test_drain_waits_for_what_is_asked_on_the_way(tasks: QtTasks) -> None:
    steps: list[int] = []

    def next_step(number: int) -> None:
        steps.append(number)
        if number < 5:
            tasks.change(lambda: number + 1, next_step)

    tasks.change(lambda: 1, next_step)
    tasks.drain()
    assert steps == [1, 2, 3, 4, 5]


def test_results_arrive_without_draining(tasks: QtTasks, qtbot: QtBot) -> None:
    got: list[int] = []
    tasks.ask(lambda: 7, got.append)
    assert got == []
    qtbot.waitUntil(lambda: got == [7], timeout=2000)


def test_busy_is_only_said_of_slow_work(tasks: QtTasks, qtbot: QtBot) -> None:
    said: list[bool] = []
    tasks.busy.connect(said.append)
    tasks.ask(lambda: None, lambda _nothing: None)
    qtbot.waitUntil(lambda: not tasks.pending, timeout=2000)
    qtbot.wait(350)
    assert said == [], "quick work was called busy"
    hold = threading.Event()
    tasks.ask(hold.wait, lambda _nothing: None)
    qtbot.waitUntil(lambda: said == [True], timeout=3000)
    hold.set()
    qtbot.waitUntil(lambda: said == [True, False], timeout=2000)


def test_a_long_export_does_not_hold_up_the_farm(tasks: QtTasks, qtbot: QtBot) -> None:
    hold, exported, read = threading.Event(), [], []
    tasks.aside(lambda: hold.wait(10), exported.append)
    tasks.ask(lambda: "read", read.append)
    qtbot.waitUntil(lambda: read == ["read"], timeout=2000)
    assert exported == []
    hold.set()
    tasks.drain()
    assert exported == [True]


def test_nothing_is_taken_on_after_the_end(qapp: QApplication) -> None:
    ended = QtTasks(lambda _error: None)
    done: list[int] = []
    ended.ask(lambda: time.sleep(0.05), lambda _nothing: done.append(1))
    ended.stop()
    assert done == [1], "work begun was dropped at the end"
    with pytest.raises(RuntimeError):
        ended.ask(lambda: 1, lambda _one: None)


@pytest.fixture
def progress(qtbot: QtBot) -> Iterator[ProgressDialog]:
    dialog = ProgressDialog("Writing …")
    qtbot.addWidget(dialog)
    dialog.open()
    yield dialog
    dialog.finish()


def test_a_long_job_can_be_stopped_from_its_dialog(
    tasks: QtTasks, progress: ProgressDialog, qtbot: QtBot
) -> None:
    ended: list[str] = []

    def work() -> str:
        for step in range(10_000):
            if progress.cancelled.is_set():
                return f"stopped after {step}"
            progress.report(step, 10_000, f"step {step}")
            time.sleep(0.002)
        return "ran to its end"

    tasks.aside(work, ended.append)
    qtbot.wait(60)
    progress.reject()  # what Escape and the button do
    qtbot.waitUntil(lambda: bool(ended), timeout=3000)
    assert ended[0].startswith("stopped after")
