"""A due job with its reason, date, priority, hours and the numbers it used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bayround import words
from bayround.facts.work import JobKind
from bayround.figures.figure import Figure
from bayround.words import _


class JobState(StrEnum):
    """Where a job stands. *done* waits for the next visit to confirm it."""

    OPEN = "open"
    ASSIGNED = "assigned"
    STARTED = "started"
    DONE = "done"
    SKIPPED = "skipped"


PRIORITY_WORDS = {1: "urgent", 2: "this week", 3: "when convenient"}


@dataclass(frozen=True, slots=True)
class Job:
    """One job in one bay.

    Attributes:
        target: organism key for pest jobs, else empty; bay, kind and target name a job.
        due_on: last day by which it should be done.
        priority: 1 urgent, 2 this week, 3 when convenient.
        hours: estimated hours of work as a figure (labour norm × amount).
        numbers: the figures the rule looked at.
        blocked_by: what stands in the way, in words (re-entry, pre-harvest intervals).
        raised_on: day of the visit that showed it.
    """

    bay_id: str
    bay_name: str
    kind: JobKind
    target: str
    reason: str
    due_on: date
    priority: int
    hours: Figure
    numbers: tuple[Figure, ...]
    raised_on: date
    blocked_by: tuple[str, ...] = ()
    plants: tuple[str, ...] = ()
    state: JobState = JobState.OPEN
    record_id: str | None = None
    assigned_to_id: str | None = None
    assigned_to: str = ""
    history: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Name of the job within the farm: one stays open for bay, kind and target."""
        return f"{self.bay_id}/{self.kind.value}/{self.target}"

    @property
    def is_due(self) -> bool:
        """Open, assigned or started: it waits for a worker, not for the next visit."""
        return self.state not in {JobState.DONE, JobState.SKIPPED}

    @property
    def kind_text(self) -> str:
        """The kind as a person reads it."""
        return _(self.kind.value.capitalize())

    @property
    def state_text(self) -> str:
        """The state as a person reads it."""
        return _("done, to be confirmed") if self.state is JobState.DONE else _(self.state.value)

    @property
    def priority_text(self) -> str:
        """The priority in words."""
        return _(PRIORITY_WORDS[self.priority])

    @property
    def due_text(self) -> str:
        """The due date with its weekday."""
        return words.weekday_day(self.due_on)

    @property
    def blocked_text(self) -> str:
        """What blocks the job, in one line."""
        return "; ".join(self.blocked_by)


def in_order(jobs: list[Job]) -> tuple[Job, ...]:
    """Return the jobs as they are worked off: by priority, due date, then bay and kind."""
    return tuple(sorted(jobs, key=lambda job: (job.priority, job.due_on, job.bay_name, job.kind, job.target)))
