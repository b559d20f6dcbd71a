"""The Jobs screen: what is due, why, in which order; give it out, tick it off."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import jobs as job_actions
from bayround.actions.jobs import Job, Moment
from bayround.facts.problems import Problem
from bayround.week.snapshot import WeekSnapshot
from bayround.window.desk import Desk
from bayround.window.jobs.job_detail import JobDetail
from bayround.window.jobs.job_list import JobList
from bayround.window.jobs.jobs_foot import JobsFoot
from bayround.window.jobs.step_form import StepAnswer, StepForm
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.notice import Notice
from bayround.window.parts.screen import Screen
from bayround.words import _


class JobsScreen(Screen):
    """The due list as of today on the left, the chosen job in full on the right."""

    name = "jobs"
    title = "Jobs"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.snapshot: WeekSnapshot | None = None
        self.list = JobList()
        self.detail = JobDetail()
        self.form = StepForm()
        self.form.bind(self._take_keyboard)
        self.notice = Notice()
        self.foot = JobsFoot()
        self.foot.to_print.clicked.connect(lambda: self.desk.print_jobs())
        self.empty = EmptyState()
        self.buttons = self._build_buttons()
        self._pages = QStackedLayout(self)
        self._pages.addWidget(self._build_page())
        self._pages.addWidget(self.empty)
        self.list.moved.connect(self._show_job)
        self.list.opened.connect(lambda: self._first_button().setFocus(Qt.FocusReason.OtherFocusReason))
        find = QShortcut(QKeySequence.StandardKey.Find, self)
        find.activated.connect(self.list.filter.setFocus)

    def show_again(self, key: str = "") -> None:
        """Read the due jobs again; *key* is a job's key or a bay's id to put the cursor on."""
        desk, today = self.desk, self.desk.today()
        self.desk.tasks.ask(
            lambda: desk.weeks.as_of_today(desk.farm, today),
            lambda snapshot: self._show(snapshot, key),
            self._show_problem,
        )

    def kept(self) -> dict[str, str]:
        """Return the job under the cursor and what the list is narrowed to."""
        return {
            "key": self.job.key if self.job else "",
            "kind": str(self.list.kind.currentIndex()),
            "order": str(self.list.order.currentData()),
            "finished": "yes" if self.list.finished.isChecked() else "",
            "filter": self.list.filter.text(),
        }

    def bay_here(self) -> str:
        """Return the bay of the job under the cursor."""
        return self.job.bay_id if self.job else ""

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Narrow the list again."""
        self.list.kind.setCurrentIndex(int(kept.get("kind", "0")))
        self.list.order.setCurrentIndex(max(self.list.order.findData(kept.get("order", "")), 0))
        self.list.finished.setChecked(bool(kept.get("finished")))
        self.list.filter.setText(kept.get("filter", ""))

    def first_focus(self) -> QWidget:
        """Return the list, or the button when there is nothing."""
        return self.empty.button if self._pages.currentWidget() is self.empty else self.list.table

    @property
    def job(self) -> Job | None:
        """The job under the cursor."""
        return self.list.current

    def _build_buttons(self) -> dict[str, QPushButton]:
        steps: tuple[tuple[str, str, str, Callable[[], None]], ...] = (
            ("give", _("Give t&o …"), "Ctrl+G", self._give),
            ("start", _("&Start"), "Ctrl+T", self._start),
            ("done", _("&Done …"), "Ctrl+D", self._done),
            ("skip", _("Sk&ip …"), "Ctrl+Shift+S", self._skip),
        )
        buttons = {}
        for key, text, shortcut, act in steps:
            button = QPushButton(text)
            button.setToolTip(shortcut)
            button.clicked.connect(act)
            QShortcut(QKeySequence(shortcut), self).activated.connect(act)
            buttons[key] = button
        return buttons

    def _build_page(self) -> QWidget:
        side = QFrame()
        side.setObjectName("panel")
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 8)
        column.addWidget(self.detail, 1)
        actions = QGridLayout()  # two and two: the list beside it needs the width
        actions.setContentsMargins(16, 0, 16, 0)
        actions.setSpacing(8)
        for place, button in enumerate(self.buttons.values()):
            actions.addWidget(button, place // 2, place % 2)
        lower = QVBoxLayout()
        lower.setContentsMargins(16, 0, 16, 0)
        lower.addWidget(self.form)
        lower.addWidget(self.notice)
        column.addLayout(actions)
        column.addLayout(lower)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(_with_gap(self.list, right=8))
        split.addWidget(_with_gap(side, left=8))
        split.setStretchFactor(0, 1)
        split.setStretchFactor(1, 0)
        split.setSizes([840, 300])
        split.setChildrenCollapsible(False)
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.addWidget(split, 1)
        layout.addWidget(self.foot)
        return page

    def _show(self, snapshot: WeekSnapshot, key: str) -> None:
        self.snapshot = snapshot
        self._pages.setCurrentIndex(0)
        by_bay = next((job.key for job in snapshot.jobs if job.bay_id == key), key)
        self.list.show_jobs(snapshot, by_bay)
        self.foot.show_week(snapshot)
        farm = self.desk.farm
        self.desk.tasks.ask(lambda: job_actions.verified(farm, snapshot), self.foot.show_verified)
        self._show_job()

    def _show_job(self) -> None:
        job = self.job
        self.form.close_form()
        self.detail.show_job(job)
        for button in self.buttons.values():
            button.setEnabled(job is not None)

    def _show_problem(self, error: BaseException) -> None:
        if not isinstance(error, Problem):
            raise error
        self.empty.say(
            error.message,
            _("Jobs come out of the rounds: key one in, and what is due appears here."),
            _("Go to &Visit"),
            lambda: self.desk.go("visit", ""),
        )
        self._pages.setCurrentWidget(self.empty)

    def _give(self) -> None:
        job = self.job
        if job is None or self.snapshot is None:
            return
        people = [person for person in self.snapshot.people if person.active]
        if not people:
            self.notice.say("ask", _("There is nobody to give it to yet. Add people under Farm."))
            return
        self.form.ask_person(
            job, people, lambda answer: self._keep(job_actions.assign, job, answer.person_id, self._moment())
        )

    def _start(self) -> None:
        job = self.job
        if job is None:
            return
        farm, moment = self.desk.farm, self._moment()
        self.desk.tasks.ask(
            lambda: job_actions.stopped_by(farm, job, moment.now),
            lambda reasons: self._start_if_free(job, reasons),
        )

    def _start_if_free(self, job: Job, reasons: tuple[str, ...]) -> None:
        if not reasons:
            self._keep(job_actions.start, job, self._moment())
            return
        self.form.ask_explanation(
            reasons, lambda answer: self._keep(job_actions.start, job, self._moment(), answer.words)
        )

    def _done(self) -> None:
        job = self.job
        if job is not None:
            self.form.ask_done(job, lambda answer: self._keep_done(job, answer))

    def _keep_done(self, job: Job, answer: StepAnswer) -> None:
        self._keep(job_actions.done, job, self._moment(), answer.hours, answer.words)

    def _skip(self) -> None:
        job = self.job
        if job is not None:
            self.form.ask_reason(
                lambda answer: self._keep(job_actions.skip, job, self._moment(), answer.words)
            )

    def _moment(self) -> Moment:
        return Moment(self.desk.today(), self.desk.now(), self.desk.person_id)

    def _keep(self, step: Callable[..., str], job: Job, *rest: object) -> None:
        farm = self.desk.farm
        self.desk.tasks.change(lambda: step(farm, job, *rest), lambda _id: self._kept(job), self._refused)

    def _kept(self, job: Job) -> None:
        self.form.close_form()
        self.notice.clear()
        self.desk.tell(_("Kept: {job}, {bay}.").format(job=job.kind_text, bay=job.bay_name))
        self.show_again()
        self._take_keyboard()

    def _refused(self, error: BaseException) -> None:
        self.form.offer_words()
        (self.form.notice if self.form.isVisible() else self.notice).refuse(error)

    def _take_keyboard(self) -> None:
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _first_button(self) -> QPushButton:
        return self.buttons["give"]


def _with_gap(part: QWidget, left: int = 0, right: int = 0) -> QWidget:
    """Return a part with air towards the line between the two halves."""
    frame = QWidget()
    layout = QHBoxLayout(frame)
    layout.setContentsMargins(left, 0, right, 0)
    layout.addWidget(part)
    return frame
