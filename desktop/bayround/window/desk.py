"""What every screen is handed: the open farm, the way to ask for work, the day, the way elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime

from bayround.actions.farm import OpenFarm
from bayround.actions.tasks import Tasks
from bayround.window.parts.questions import DialogQuestions, Questions
from bayround.window.week_memory import WeekMemory


def _utc_now() -> datetime:
    return datetime.now(UTC)


def _no_place(_screen: str, _key: str) -> None:
    return None


def _no_word(_text: str) -> None:
    return None


def _no_paper() -> None:
    return None


@dataclass(slots=True)
class Desk:
    """Handed to each screen by the main window; never reached through a global.

    Attributes:
        tasks: all reads and writes of the farm go through it (never call actions directly in a slot).
        today, now: the clock (tests hand in fixed ones).
        go: go to a screen by name ("week", "visit", "bay", "jobs", "farm") with the id of what to show.
        tell: show a short passing message in the status line.
        print_jobs: what “Job sheets to print” of the menu does.
        questions: asks what has to be answered before going on (tests hand in answers).
        weeks: the pictures of weeks read last (ask it on the farm's thread).
        person_id: who sits at the desk, kept with every change; nothing when nobody said so.
    """

    farm: OpenFarm
    tasks: Tasks
    today: Callable[[], date] = date.today
    now: Callable[[], datetime] = _utc_now
    go: Callable[[str, str], None] = _no_place
    tell: Callable[[str], None] = _no_word
    print_jobs: Callable[[], None] = _no_paper
    questions: Questions = field(default_factory=DialogQuestions)
    person_id: str | None = None
    weeks: WeekMemory = field(default_factory=WeekMemory)
