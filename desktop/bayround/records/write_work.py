"""What was done: jobs and their steps, treatments, picks, numbers of the farm's own, closed weeks."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from sqlalchemy import Connection, insert, select

from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.work import (
    JobEvent,
    JobRecord,
    JobStep,
    Pick,
    ProfileOverride,
    Treatment,
    TreatmentBay,
    WeekClose,
)
from bayround.records import tables as t
from bayround.records.codec import facts_of, kind_of, row_of, select_facts
from bayround.records.store import Store
from bayround.words import _

_OPEN = {JobStep.RAISED.value, JobStep.ASSIGNED.value, JobStep.STARTED.value, JobStep.REOPENED.value}


def raise_job(store: Store, job: JobRecord, at: datetime, person_id: str | None = None) -> JobRecord:
    """Write a job with its first step; when the bay has such a job open already, that one is returned.

    Args:
        at: the moment it was taken up, kept with the step.
    """
    first = JobEvent(new_id(), job.id, JobStep.RAISED, job.raised_on, at, person_id)
    with store.reading() as connection:
        found = _open_job(connection, job)
    if found:
        return found
    with store.writing() as connection:
        connection.execute(insert(t.job).values(row_of(job)))
        connection.execute(insert(t.job_event).values(row_of(first)))
    return job


def _open_job(connection: Connection, job: JobRecord) -> JobRecord | None:
    """Return the job of the same bay, kind and target whose last step leaves it open."""
    kind = kind_of(JobRecord)
    same = select_facts(kind).where(
        t.job.c.bay_id == job.bay_id, t.job.c.kind == job.kind.value, t.job.c.target == job.target
    )
    for found in facts_of(kind, connection.execute(same)):
        steps = select(t.job_event.c.step).where(t.job_event.c.job_id == found.id)
        in_order = steps.order_by(t.job_event.c.recorded_at.desc(), t.job_event.c.id.desc())
        if connection.execute(in_order.limit(1)).scalar() in _OPEN:
            return found
    return None


def add_event(store: Store, job_event: JobEvent) -> None:
    """Add a step to the life of a job."""
    with store.writing() as connection:
        connection.execute(insert(t.job_event).values(row_of(job_event)))


def add_treatment(store: Store, treatment: Treatment, bay_ids: Iterable[str]) -> tuple[TreatmentBay, ...]:
    """Write a treatment and the bays it covered.

    Raises:
        Refused: when it covered no bay: nobody would be kept out of anywhere.
    """
    covered = tuple(TreatmentBay(new_id(), treatment.id, bay_id) for bay_id in dict.fromkeys(bay_ids))
    if not covered:
        raise Refused(
            _("A treatment needs the bays it covered."), _("Nothing was changed."), _("Choose the bays.")
        )
    with store.writing() as connection:
        connection.execute(insert(t.treatment).values(row_of(treatment)))
        connection.execute(insert(t.treatment_bay), [row_of(bay) for bay in covered])
    return covered


def add_pick(store: Store, pick: Pick) -> None:
    """Write a pick.

    Raises:
        Refused: when the planting is not of this bay.
    """
    with store.writing() as connection:
        bay_id = connection.execute(
            select(t.planting.c.bay_id).where(t.planting.c.id == pick.planting_id)
        ).scalar()
        if bay_id is not None and bay_id != pick.bay_id:
            raise Refused(_("This planting is not in this bay."), _("Nothing was changed."))
        connection.execute(insert(t.pick).values(row_of(pick)))


def override_number(store: Store, override: ProfileOverride) -> None:
    """Keep a number of a crop profile that this farm changed; earlier ones stay, the last one holds."""
    with store.writing() as connection:
        connection.execute(insert(t.profile_override).values(row_of(override)))


def close_week(store: Store, close: WeekClose) -> None:
    """Keep that a week's workbook went out."""
    with store.writing() as connection:
        connection.execute(insert(t.week_close).values(row_of(close)))
