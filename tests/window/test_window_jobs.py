"""The Jobs screen by real keys: give, start, done, skip; a stopped job is not ticked off lightly."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from window_hands import TODAY, alt, ctrl, fill, focused, press, type_text

from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Job
from bayround.facts.weeks import Week
from bayround.window.jobs.job_table import JOB_COLUMNS
from bayround.window.jobs.jobs_screen import JobsScreen
from bayround.window.main_window import MainWindow
from bayround.window.parts.explain import ExplainDialog
from bayround.window.parts.figure_chips import FigureButton
from bayround.window.parts.tick_dialog import TickDialog

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm) -> JobsScreen:
    return cast(JobsScreen, make_window(farm, page="jobs").pages.current)


def jobs_now(farm: OpenFarm) -> dict[str, Job]:
    return {job.key: job for job in week_actions.picture(farm, Week.of(TODAY), TODAY).jobs}


def go_to(screen: JobsScreen, wanted: Callable[[Job], bool]) -> Job:
    """Walk down the list with the arrow key to the first job wanted."""
    press(Qt.Key.Key_Home, Qt.KeyboardModifier.ControlModifier)
    for _row in range(screen.list.model.rowCount()):
        job = screen.job
        assert job is not None
        if wanted(job):
            return job
        press(Qt.Key.Key_Down)
    raise AssertionError("no such job in the list")


def test_jobs_stand_in_working_order_with_the_sum_of_their_hours(screen: JobsScreen) -> None:
    listed = screen.list.model.listed
    assert [(job.priority, job.due_on) for job in listed] == sorted(
        (job.priority, job.due_on) for job in listed
    )
    exact = sum(job.hours.value or 0.0 for job in listed)
    assert f"{len(listed)} jobs · {exact:.1f} h of work" in screen.list.sum.text()


def test_by_day_and_bay_the_jobs_of_a_day_stand_in_the_order_of_the_walk(screen: JobsScreen) -> None:
    screen.list.order.setFocus()
    press(Qt.Key.Key_End)
    assert screen.snapshot is not None
    walk = [bay.bay.id for bay in screen.snapshot.bays]
    listed = screen.list.model.listed
    places = [(job.due_on, walk.index(job.bay_id)) for job in listed]
    assert places == sorted(places)
    assert len({job.priority for job in listed}) > 1
    assert [job.priority for job in listed] != sorted(job.priority for job in listed)
    kept = screen.kept()
    press(Qt.Key.Key_Home)
    assert [job.priority for job in screen.list.model.listed] == sorted(job.priority for job in listed)
    screen.take_up(kept)
    assert [job.key for job in screen.list.model.listed] == [job.key for job in listed]


def test_the_print_button_does_what_the_menu_does(screen: JobsScreen, settled: Settled) -> None:
    alt(Qt.Key.Key_R)
    settled()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, TickDialog)
    assert "Job sheets" in dialog.windowTitle()
    press(Qt.Key.Key_Escape)


def test_the_detail_says_why_and_each_number_can_be_asked(screen: JobsScreen, settled: Settled) -> None:
    job = go_to(screen, lambda job: bool(job.numbers) and not job.blocked_by)
    texts = [label.text() for label in screen.detail.findChildren(QLabel)]
    assert job.reason in texts
    press(Qt.Key.Key_Return)
    chips = [button for button in screen.detail.findChildren(QPushButton) if button.property("chip")]
    assert len(chips) == len(job.numbers) + 1
    chips[0].setFocus()
    press(Qt.Key.Key_Space)
    settled()
    assert isinstance(QApplication.activeModalWidget(), ExplainDialog)
    press(Qt.Key.Key_Escape)


def test_give_start_and_done_with_hours(screen: JobsScreen, farm: OpenFarm, settled: Settled) -> None:
    job = go_to(screen, lambda job: job.state.value == "open" and not job.blocked_by)
    ctrl(Qt.Key.Key_G)
    assert focused() is screen.form.person
    type_text("Spruce")
    press(Qt.Key.Key_Return)
    settled()
    assert (jobs_now(farm)[job.key].state.value, jobs_now(farm)[job.key].assigned_to) == (
        "assigned",
        "Spruce",
    )
    assert screen.job is not None
    assert screen.job.key == job.key, "the cursor left the job"
    assert focused() is screen.list.table
    ctrl(Qt.Key.Key_T)
    settled()
    assert jobs_now(farm)[job.key].state.value == "started"
    ctrl(Qt.Key.Key_D)
    fill("1,75")
    settled()
    done = jobs_now(farm)[job.key]
    assert done.state.value == "done"
    assert any("1.75" in step or "1.8" in step for step in done.history), done.history
    assert screen.list.model.row_of(job.key) < 0, "a job that is done is still listed as open"


def test_impossible_hours_are_refused_in_the_form(
    screen: JobsScreen, farm: OpenFarm, settled: Settled
) -> None:
    job = go_to(screen, lambda job: not job.blocked_by)
    ctrl(Qt.Key.Key_D)
    fill("viel")
    settled()
    assert "is not a number" in screen.form.notice.text.text()
    assert screen.form.hours.text() == "viel"
    press(Qt.Key.Key_Escape)
    assert not screen.form.isVisible()
    assert jobs_now(farm)[job.key].state == job.state


def test_a_stopped_job_is_only_done_with_an_explanation_that_is_kept(
    screen: JobsScreen, farm: OpenFarm, settled: Settled
) -> None:
    stopped = [job for job in screen.list.model.listed if job.blocked_by]
    if not stopped:
        pytest.fail("the part of the invented farm has no stopped job on this day")
    job = go_to(screen, lambda job: bool(job.blocked_by))
    texts = " ".join(label.text() for label in screen.detail.findChildren(QLabel))
    assert job.blocked_text in texts
    assert "The label and the local rules decide" in texts
    ctrl(Qt.Key.Key_D)
    fill("2")
    settled()
    assert "This job is stopped" in screen.form.notice.text.text()
    assert jobs_now(farm)[job.key].state == job.state
    screen.form.words.setFocus()
    fill("done before the spray, noted late")
    settled()
    done = jobs_now(farm)[job.key]
    assert done.state.value == "done"
    assert any("noted late" in step for step in done.history), done.history


def test_skipping_needs_a_reason(screen: JobsScreen, farm: OpenFarm, settled: Settled) -> None:
    job = go_to(screen, lambda job: not job.blocked_by)
    ctrl_shift = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    press(Qt.Key.Key_S, ctrl_shift)
    press(Qt.Key.Key_Return)
    settled()
    assert "needs a reason" in screen.form.notice.text.text()
    fill("crop comes out on Friday")
    settled()
    assert jobs_now(farm)[job.key].state.value == "skipped"


def test_filters_by_kind_person_and_words(screen: JobsScreen) -> None:
    all_jobs = screen.list.model.listed
    screen.list.kind.setFocus()
    type_text("Weed")
    assert {job.kind.value for job in screen.list.model.listed} == {"weeding"}
    press(Qt.Key.Key_Home)
    assert screen.list.model.listed == all_jobs
    screen.list.person.setFocus()
    type_text("Tamarack")
    assert {job.assigned_to for job in screen.list.model.listed} == {"Tamarack"}
    press(Qt.Key.Key_Home)
    ctrl(Qt.Key.Key_F)
    type_text("s4 trellis")
    assert {job.bay_name for job in screen.list.model.listed} == {"South net house · S4"}


def test_f4_explains_the_hours_under_the_cursor_and_elsewhere_what_the_job_rests_on(
    screen: JobsScreen, settled: Settled
) -> None:
    job = go_to(screen, lambda job: bool(job.numbers) and job.hours.value is not None)
    names = []
    for heading in ("Priority", "Hours"):
        press(Qt.Key.Key_Home)
        press(Qt.Key.Key_Right, times=[column.heading for column in JOB_COLUMNS].index(heading))
        assert screen.job == job
        press(Qt.Key.Key_F4)
        settled()
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, ExplainDialog)
        names.append(dialog.accessibleName())
        press(Qt.Key.Key_Escape)
        screen.activateWindow()
        settled()
    assert job.numbers[0].label in names[0]
    assert job.hours.label in names[1]
    assert job.hours.text_with_unit in names[1]


def test_f4_explains_a_number_in_the_detail(screen: JobsScreen, settled: Settled) -> None:
    job = go_to(screen, lambda job: bool(job.numbers))
    screen.detail.findChildren(FigureButton)[0].setFocus()
    press(Qt.Key.Key_F4)
    settled()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, ExplainDialog)
    assert job.numbers[0].label in dialog.accessibleName()
    press(Qt.Key.Key_Escape)
