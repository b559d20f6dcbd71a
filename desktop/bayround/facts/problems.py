"""The world's faults, in words. Anything else that is raised is a fault of the program."""

from __future__ import annotations

from datetime import datetime


class Problem(Exception):
    """Something a person can do something about.

    Attributes:
        message: what happened.
        kept: what was kept or left as it was.
        to_do: what to do next.
    """

    def __init__(self, message: str, kept: str = "", to_do: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.kept = kept
        self.to_do = to_do

    def __str__(self) -> str:
        return " ".join(part for part in (self.message, self.kept, self.to_do) if part)


class FarmFileProblem(Problem):
    """The farm file can't be opened, read or written."""


class Refused(Problem):
    """A value or a step that can't be right, or is not safe, was refused."""


class Stopped(Refused):
    """An interval or a fault of a house stands in the way; it is only kept with an explanation."""


class TwiceTheSame(Refused):
    """The same is written down already; it is only kept again when somebody says that it happened twice."""


class Overtaken(Problem):
    """Somebody else changed the same record since it was read."""


class TypedMeanwhile(Overtaken):
    """Somebody else typed another value where this person did; the person chooses.

    Attributes:
        place: what the value belongs to and its field ("" for a record as a whole).
        now: what is kept now. wanted: what this person typed.
        person_id: who typed *now*, where it is known. at: when.
    """

    def __init__(
        self, problem: Problem, place: tuple[str, str], now: object, wanted: object,
        person_id: str | None = None, at: datetime | None = None,
    ) -> None:  # fmt: skip
        super().__init__(problem.message, problem.kept, problem.to_do)
        self.place, self.now, self.wanted = place, now, wanted
        self.person_id, self.at = person_id, at
