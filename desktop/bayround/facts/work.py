"""What was done: jobs and their events, treatments, picks, climate, corrections, closed weeks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum


class JobKind(StrEnum):
    """The kinds of job the rules know."""

    ROUND = "round"
    TRELLIS = "trellis"
    BALANCE = "fruit balance"
    WEED = "weeding"
    PEST = "pest or disease"
    PICK = "pick"
    HOUSE = "house check"


class JobStep(StrEnum):
    """What can happen to a job; its state is its last step."""

    RAISED = "raised"
    ASSIGNED = "assigned"
    STARTED = "started"
    DONE = "done"
    SKIPPED = "skipped"
    REOPENED = "reopened"
    CONFIRMED = "confirmed"


@dataclass(frozen=True, slots=True)
class JobRecord:
    """A due job that somebody took up: bay, kind and target name it; the rule's words are kept."""

    id: str
    bay_id: str
    kind: JobKind
    target: str
    raised_on: date
    due_on: date
    reason: str
    hours_estimated: float | None = None


@dataclass(frozen=True, slots=True)
class JobEvent:
    """One step in the life of a job; never changed, only added to."""

    id: str
    job_id: str
    step: JobStep
    happened_on: date
    recorded_at: datetime
    person_id: str | None = None
    hours: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Treatment:
    """What was applied, as typed from the label. An unknown interval counts as not safe."""

    id: str
    ended_at: datetime
    target: str
    active_ingredient: str
    mode_of_action_group: str = ""
    product: str = ""
    registration_number: str = ""
    re_entry_hours: float | None = None
    pre_harvest_days: float | None = None
    applied_by_id: str | None = None
    biological: bool = False
    note: str = ""
    started_at: datetime | None = None

    @property
    def known_from(self) -> datetime:
        """When it began; where nobody wrote that down, when it ended."""
        return self.started_at or self.ended_at

    @property
    def known_as(self) -> str:
        """What its intervals follow from; an explanation counts while this stays as it was."""
        start = self.started_at.astimezone(UTC).isoformat() if self.started_at else "?"
        hours = "?" if self.re_entry_hours is None else repr(float(self.re_entry_hours))
        days = "?" if self.pre_harvest_days is None else repr(float(self.pre_harvest_days))
        kind = "organism" if self.biological else "product"
        return "|".join((start, self.ended_at.astimezone(UTC).isoformat(), hours, days, kind))


@dataclass(frozen=True, slots=True)
class TreatmentBay:
    """A bay that a treatment covered; *taken_out*: it was written down by mistake, and the reason is kept."""

    id: str
    treatment_id: str
    bay_id: str
    taken_out: bool = False


@dataclass(frozen=True, slots=True)
class Pick:
    """Fruit picked from one bay on one day, by grade and colour; *began_at*: when picking began, if known."""

    id: str
    bay_id: str
    planting_id: str
    picked_on: date
    kg: float
    fruit: int | None = None
    grade: str = ""
    colour: str = ""
    picked_by_id: str | None = None
    note: str = ""
    began_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why a pick or a step of a job lies inside an interval of a treatment; never changed, only added to.

    *table_name* is “pick” or “job_event”, *row_id* the record; *known_as* what the intervals of the treatment
    followed from (`Treatment.known_as`): when that changes a person is asked again.
    """

    id: str
    table_name: str
    row_id: str
    treatment_id: str
    known_as: str
    said: str
    kept_at: datetime
    person_id: str | None = None


@dataclass(frozen=True, slots=True)
class ClimateDay:
    """One day's air and light in one house: lowest and highest temperature, and what else was measured.

    *vapour_pressure_deficit_kpa* is the mean over the readings of a logger; where it is not kept, figures work
    it out from the lowest and highest temperature and humidity. *light_mol_m2* is the daily light integral.
    """

    id: str
    house_id: str
    day: date
    low_c: float
    high_c: float
    humidity_low_percent: float | None = None
    humidity_high_percent: float | None = None
    vapour_pressure_deficit_kpa: float | None = None
    light_mol_m2: float | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """One field of one record changed after the fact: before, after, who, when, why."""

    id: str
    table_name: str
    row_id: str
    field: str
    before: str
    after: str
    person_id: str | None
    corrected_at: datetime
    reason: str
    chain: str = ""


@dataclass(frozen=True, slots=True)
class ProfileOverride:
    """A number of a crop profile that this farm changed."""

    id: str
    crop: str
    name: str
    value: float
    person_id: str | None
    changed_at: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class WeekClose:
    """A week whose workbook went out: what it held, and how long the history of corrections was then.

    *digest* is that of the week's facts as of *as_of*; *chain_head* the hash of the newest correction
    (`chain.NO_CORRECTIONS` when there was none yet). Both are missing in weeks closed by an early version.
    """

    id: str
    week: str
    closed_at: datetime
    revision: int
    digest: str
    person_id: str | None = None
    as_of: date | None = None
    chain_head: str | None = None
