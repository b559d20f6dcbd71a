"""Under the jobs: workload against hours, and whether finished jobs worked; stopped jobs to the minute."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from window_hands import NOW, TODAY, ctrl, press, type_text

import factory
from bayround.actions import jobs as job_actions
from bayround.actions import treatments
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.window.jobs.jobs_foot import FinishedDialog
from bayround.window.jobs.jobs_screen import JobsScreen
from bayround.window.main_window import MainWindow
from bayround.window.parts.figure_chips import FigureButton

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


def test_workload_is_the_snapshot_s_own_figure(make_window: Make, farm: OpenFarm) -> None:
    screen = cast(JobsScreen, make_window(farm, page="jobs").pages.current)
    assert screen.snapshot is not None
    share = screen.snapshot.totals["workload_percent"]
    people = [person for person in screen.snapshot.people if person.active and person.hours_per_week]
    hours = sum(person.hours_per_week or 0 for person in people)
    open_jobs = [job for job in screen.snapshot.jobs if job.state.value not in {"done", "skipped"}]
    assert share.value == pytest.approx(sum(job.hours.value or 0 for job in open_jobs) / hours * 100)
    shown = [chip.text() for chip in screen.foot.findChildren(FigureButton)]
    assert f"{share.label}  {share.text_with_unit}, {share.says}" in shown


def test_finished_jobs_say_whether_they_worked(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    screen = cast(JobsScreen, make_window(farm, page="jobs").pages.current)
    assert screen.snapshot is not None
    told = job_actions.verified(farm, screen.snapshot)
    assert told, "the sample farm has finished jobs"
    ctrl(Qt.Key.Key_J)
    settled()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, FinishedDialog)
    assert dialog.table.rowCount() == len(told)
    last = dialog.table.columnCount() - 1
    shown = [dialog.table.item(row, last) for row in range(len(told))]
    assert [item.text() if item else "" for item in shown] == [one.text for one in told]
    press(Qt.Key.Key_Escape)


@pytest.mark.parametrize(("ends", "is_kept"), [(timedelta(minutes=1), False), (timedelta(0), True)])
def test_done_one_minute_before_and_after_the_re_entry_interval(
    make_window: Make, farm: OpenFarm, settled: Settled, ends: timedelta, is_kept: bool
) -> None:
    screen = cast(JobsScreen, make_window(farm, page="jobs").pages.current)
    free = next(job for job in screen.list.model.listed if not job.blocked_by and job.state.value == "open")
    treat(farm, NOW + ends - timedelta(hours=4), free.bay_id)
    screen.show_again(free.key)
    settled()
    assert screen.job is not None
    assert screen.job.blocked_by, "the day's list names the interval either way"
    ctrl(Qt.Key.Key_D)
    type_text("3")
    press(Qt.Key.Key_Return)
    settled()
    now = {job.key: job for job in job_actions_now(screen, settled)}
    state = now[free.key].state.value if free.key in now else "done"
    assert (state == "done") is is_kept
    if not is_kept:
        assert "no re-entry before" in screen.form.notice.text.text()
        screen.form.words.setFocus()
        type_text("wind had cleared it, masks worn")
        press(Qt.Key.Key_Return)
        settled()
        done = {job.key: job for job in job_actions_now(screen, settled)}[free.key]
        assert "masks worn" in " ".join(done.history)


def treat(farm: OpenFarm, ended: datetime, bay_id: str) -> None:
    item = factory.treatment(ended, re_entry_hours=4.0, pre_harvest_days=0.0)
    treatments.record(farm, item, [bay_id], Moment(TODAY, NOW))


def job_actions_now(screen: JobsScreen, settled: Settled) -> tuple[job_actions.Job, ...]:
    screen.show_again()
    settled()
    assert screen.snapshot is not None
    return screen.snapshot.jobs
