"""Treatments and jobs: what was applied, what was handed out, done, skipped or is still open."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from bayround.facts.weeks import Week
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Treatment, TreatmentBay

from .chance import fact_id, half_up, normal, stream
from .growth import Tying
from .scenario import JobPlan, Scenario
from .set_up import SetUp
from .walks import PlannedVisit

EVENING = time(15, 0)  # UTC; the supervisor notes the day's work


def treatments(
    scenario: Scenario, seed: int, set_up: SetUp
) -> tuple[tuple[Treatment, ...], tuple[TreatmentBay, ...]]:
    """Return the treatments and the bays each of them covered."""
    found, covered = [], []
    for plan in scenario.treatments:
        day = plan.ended_at.date()
        treatment = Treatment(
            id=fact_id(seed, day, "treatment", plan.ended_at.isoformat(), plan.active_ingredient),
            ended_at=plan.ended_at,
            target=plan.target,
            active_ingredient=plan.active_ingredient,
            product=plan.product,
            registration_number=plan.registration_number,
            re_entry_hours=plan.re_entry_hours,
            pre_harvest_days=plan.pre_harvest_days,
            applied_by_id=set_up.people[plan.applied_by].id,
            biological=plan.biological,
            note=plan.note,
        )
        found.append(treatment)
        covered += [
            TreatmentBay(fact_id(seed, day, "treated", treatment.id, bay), treatment.id, set_up.bays[bay].id)
            for bay in plan.bays
        ]
    return tuple(found), tuple(covered)


def told_jobs(
    scenario: Scenario, seed: int, set_up: SetUp, planned: tuple[PlannedVisit, ...]
) -> tuple[list[JobRecord], list[JobEvent]]:
    """Return the jobs the story tells of, step by step."""
    day_of = {(visit.bay.name, visit.week): visit.day for visit in planned}
    records, events = [], []
    for plan in scenario.jobs:
        raised_on = day_of[plan.bay, plan.week]
        record = _record(seed, set_up, plan, raised_on)
        records.append(record)
        for told in plan.steps:
            day, person_id = raised_on + timedelta(days=told["days_later"]), set_up.people[told["person"]].id
            step = JobStep(told["step"])
            events.append(_step(seed, record, step, day, person_id, told.get("hours"), told.get("note", "")))
    return records, events


def tying_jobs(
    scenario: Scenario, seed: int, set_up: SetUp, tyings: list[Tying]
) -> tuple[list[JobRecord], list[JobEvent]]:
    """Return a job for every tying that was due, from the week in which jobs were first handed out.

    A tying without a day was handed out and is not done yet.
    """
    table = scenario.tables["jobs"]
    records, events = [], []
    for tying in tyings:
        bay, crop = tying.visit.bay, scenario.crops[tying.visit.bay.crop]
        if (
            tying.visit.week < Week.parse(table["tying_handed_out_from"])
            or tying.head_above_tie_cm < crop.tie_every_cm
        ):
            continue
        hours = bay.plants * bay.stems_per_plant / 1000 * table["tying_h_per_1000_stems"]
        plan = JobPlan(
            bay=bay.name,
            kind=JobKind.TRELLIS.value,
            week=tying.visit.week,
            due_in_days=table["due_in_days"],
            reason=f"Heads stand {tying.head_above_tie_cm:.1f} cm above the last tie;"
            f" a tie is due every {crop.tie_every_cm:.0f} cm.",
            hours_estimated=round(half_up(hours, 0.1), 1),
            steps=[],
        )
        record = _record(seed, set_up, plan, tying.visit.day)
        records.append(record)
        worker = set_up.people[table["crew"][len(records) % len(table["crew"])]].id
        given_on = tying.visit.day + timedelta(days=1)
        events.append(_step(seed, record, JobStep.ASSIGNED, given_on, worker, None))
        if tying.day is not None:
            took = hours * normal(stream(seed, bay.name, "tying", tying.day), 1.05, 0.10)
            events.append(_step(seed, record, JobStep.DONE, tying.day, worker, half_up(took, 0.5)))
    return records, events


def _step(
    seed: int,
    record: JobRecord,
    step: JobStep,
    day: date,
    person_id: str,
    hours: float | None,
    note: str = "",
) -> JobEvent:
    key = fact_id(seed, day, "job step", record.id, step.value)
    minute = list(JobStep).index(step)  # keeps the steps of one evening in their order
    recorded_at = datetime.combine(day, EVENING, UTC) + timedelta(minutes=minute)
    return JobEvent(key, record.id, step, day, recorded_at, person_id, hours, note)


def _record(seed: int, set_up: SetUp, plan: JobPlan, raised_on: date) -> JobRecord:
    return JobRecord(
        id=fact_id(seed, raised_on, "job", raised_on, plan.bay, plan.kind, plan.target),
        bay_id=set_up.bays[plan.bay].id,
        kind=JobKind(plan.kind),
        target=plan.target,
        raised_on=raised_on,
        due_on=raised_on + timedelta(days=plan.due_in_days),
        reason=plan.reason,
        hours_estimated=plan.hours_estimated,
    )
