"""Picks and work inside an interval, judged from what is known now: boundaries, unknown moments, explanations.

That an unknown interval or moment counts as not safe is common practice, no source; the label decides.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

import factory
from bayround.facts.moments import instant_of, local_day
from bayround.facts.work import Explanation, JobEvent, JobKind, JobRecord, JobStep, Pick, Treatment
from bayround.jobs.inside import Inside, of_picks, of_work, pick_stops
from bayround.jobs.intervals import stops

DAY = date(2026, 10, 13)
MINUTE = timedelta(minutes=1)
JOB = JobRecord("j", "b", JobKind.WEED, "", DAY, DAY, "weeds")


def at(hour: int, minute: int = 0, day: date = DAY) -> datetime:
    return instant_of(day, time(hour, minute), UTC)


def treated(**changes: object) -> Treatment:
    """Began at nine, ended at eleven; four hours of re-entry, three days of pre-harvest."""
    base = {"started_at": at(9), "re_entry_hours": 4.0, "pre_harvest_days": 3.0}
    return factory.treatment(at(11), **(base | changes))


def picked(day: date = DAY, began: datetime | None = None, **changes: object) -> Pick:
    return replace(Pick("p", "b", "s", day, 5.0, began_at=began), **changes)  # type: ignore[arg-type]


def of(pick: Pick, item: Treatment, *said: Explanation) -> tuple[Inside, ...]:
    return of_picks([pick], [item], said, UTC)


def test_a_pick_on_the_day_of_the_treatment_is_judged() -> None:
    """Only the day is known of the pick: it may have been after nine."""
    (found,) = of(picked(), treated())
    assert "no pick before 2026-10-16 11:00" in found.text
    assert "Not explained" in found.text
    assert [item.id for item in found.unexplained] == [found.reasons[0][0].id]


@pytest.mark.parametrize(
    ("began", "words"),
    [
        (at(8, 59), "a treatment began at 2026-10-13 09:00, and when picking was over is not kept"),
        (at(9), "no pick before 2026-10-16 11:00"),
        (at(10, 59, DAY + timedelta(days=3)), "no pick before 2026-10-16 11:00"),
        (at(11, 0, DAY + timedelta(days=3)), ""),
    ],
)
def test_one_minute_before_and_after(began: datetime, words: str) -> None:
    found = of(picked(began.date(), began), treated())
    assert [words] * len(found) == [one.why.split("; ")[-1] for one in found]
    assert bool(found) is bool(words)


def test_the_day_before_the_treatment_is_free_and_the_day_the_interval_ends_is_not() -> None:
    assert of(picked(DAY - timedelta(days=1)), treated()) == ()
    assert of(picked(DAY + timedelta(days=3)), treated()) != ()
    assert of(picked(DAY + timedelta(days=4)), treated()) == ()


def test_a_treatment_without_a_start_counts_from_the_first_moment_of_its_day() -> None:
    (found,) = of(picked(began=at(0, 1)), treated(started_at=None))
    assert "no pick before" in found.why


@pytest.mark.parametrize("unknown", [{"re_entry_hours": None}, {"pre_harvest_days": None}])
def test_an_unknown_interval_is_never_over(unknown: dict[str, None]) -> None:
    (found,) = of(picked(DAY + timedelta(days=400)), treated(**unknown))
    assert "counts as not safe" in found.text
    assert of(picked(DAY + timedelta(days=400)), treated(**unknown, biological=True)) == ()


def test_the_days_that_are_looked_at_leave_nothing_out() -> None:
    """Against looking at every pick and every piece of work with every treatment, over a change of clocks."""
    chance, zone = random.Random(7), ZoneInfo("Europe/Berlin")
    start = instant_of(date(2026, 10, 20), time(5), zone)

    def moment() -> datetime:
        return start + timedelta(minutes=30 * chance.randrange(48 * 9))

    def item() -> Treatment:
        ended = moment()
        began = chance.choice([None, ended - timedelta(hours=chance.choice([1, 30]))])
        hours, days = chance.choice([None, 0.0, 4.0, 30.0]), chance.choice([None, 0.0, 1.0, 3.0])
        made = factory.treatment(ended, started_at=began, re_entry_hours=hours, pre_harvest_days=days)
        return replace(made, biological=chance.random() < 0.3)

    for _farm in range(60):
        items = sorted((item() for _item in range(4)), key=lambda one: (one.ended_at, one.id))
        begun = [moment() for _pick in range(6)]
        picks = [
            picked(local_day(one, zone), chance.choice([None, one]), id=f"p{n}")
            for n, one in enumerate(begun)
        ]
        whole = {(one.id, two.id) for one in picks for two in items if pick_stops(one, two, zone)}
        found = of_picks(picks, items, (), zone)
        assert {(one.row_id, two.id) for one in found for two, _why in one.reasons} == whole
        began, done = sorted((moment(), moment()))
        steps = [step(JobStep.STARTED, began, "a"), step(JobStep.DONE, done, "b")]
        steps = [replace(one, happened_on=local_day(one.recorded_at, zone)) for one in steps]
        at_work = of_work([JOB], steps, items, (), zone)
        stopped = {one.id for one in items if stops(JOB.kind, [one], done, zone, since=began)}
        assert {two.id for one in at_work for two, _why in one.reasons} == stopped


def test_nothing_picked_is_no_pick() -> None:
    assert of(picked(kg=0.0), treated()) == ()


def test_across_a_change_of_clocks_the_later_reading_counts() -> None:
    """Central European time went back on 25 October 2026 at 03:00 (EU directive 2000/84/EC): 24 h are 11:00 → 10:00."""
    zone = ZoneInfo("Europe/Berlin")
    day = date(2026, 10, 24)
    item = factory.treatment(
        instant_of(day, time(11), zone), re_entry_hours=0.0, pre_harvest_days=1.0,
        started_at=instant_of(day, time(10), zone),
    )  # fmt: skip
    end = instant_of(day + timedelta(days=1), time(11), zone)
    for began, inside in ((end - MINUTE, True), (end, False)):
        pick = picked(day + timedelta(days=1), began)
        assert bool(of_picks([pick], [item], (), zone)) is inside


def explained(item: Treatment, row: str = "p", table: str = "pick") -> Explanation:
    return Explanation("e", table, row, item.id, item.known_as, "only culls", at(20))


def test_an_explanation_counts_until_the_treatment_is_put_right() -> None:
    item = treated()
    (found,) = of(picked(), item, explained(item))
    assert found.unexplained == ()
    assert "Explanation: only culls" in found.text
    for change in (
        {"pre_harvest_days": 7.0},
        {"ended_at": at(12)},
        {"started_at": None},
        {"re_entry_hours": None},
    ):
        longer = replace(item, **change)  # type: ignore[arg-type]
        (again,) = of(picked(), longer, explained(item))
        assert again.unexplained == (longer,)
        assert "Not explained" in again.text
    (noted,) = of(picked(), replace(item, note="seen"), explained(item))
    assert noted.unexplained == ()


def test_an_explanation_of_one_treatment_explains_no_other() -> None:
    first, second = treated(), treated(active_ingredient="another")
    (found,) = of_picks([picked()], [first, second], [explained(first)], UTC)
    assert found.unexplained == (second,)


def step(kind: JobStep, moment: datetime, key: str = "s", note: str = "") -> JobEvent:
    return JobEvent(key, "j", kind, moment.date(), moment, note=note)


def work(item: Treatment, *steps: JobEvent, said: tuple[Explanation, ...] = ()) -> tuple[Inside, ...]:
    return of_work([JOB], steps, [item], said, UTC)


def test_work_ticked_off_before_during_and_after() -> None:
    """Without a start the whole day until the tick counts; with one, only from it on."""
    assert work(treated(), step(JobStep.DONE, at(8, 59))) == ()
    for moment in (at(9), at(14, 59), at(20)):
        (found,) = work(treated(), step(JobStep.DONE, moment))
        assert "Worked (weeding) on 2026-10-13" in found.text
    late = (step(JobStep.STARTED, at(15), "a"), step(JobStep.DONE, at(20), "b"))
    assert work(treated(), *late) == ()
    early = (step(JobStep.STARTED, at(14, 59), "a"), step(JobStep.DONE, at(20), "b"))
    assert "no re-entry before 2026-10-13 15:00" in work(treated(), *early)[0].why
    before = (step(JobStep.STARTED, at(7), "a"), step(JobStep.DONE, at(8, 59), "b"))
    assert work(treated(), *before) == ()


def test_work_over_several_days_meets_a_treatment_in_between() -> None:
    steps = (step(JobStep.STARTED, at(7), "a"), step(JobStep.DONE, at(7, 0, DAY + timedelta(days=2)), "b"))
    assert work(treated(), *steps)[0].row_id == "b"


def test_work_that_is_begun_only_is_judged_at_its_start() -> None:
    assert work(treated(), step(JobStep.STARTED, at(8, 59))) == ()
    (found,) = work(treated(), step(JobStep.STARTED, at(9)))
    assert "Work begun (weeding)" in found.text


def test_work_begun_again_inside_an_interval_is_judged_at_its_last_start_too() -> None:
    steps = (step(JobStep.STARTED, at(7), "a"), step(JobStep.STARTED, at(12), "b"))
    (found,) = work(treated(), *steps)
    assert (found.row_id, found.unexplained) == ("b", (found.reasons[0][0],))


def test_work_begun_inside_an_interval_and_skipped_afterwards_was_begun_all_the_same() -> None:
    steps = (step(JobStep.STARTED, at(12), "a"), step(JobStep.SKIPPED, at(13), "b", "rain"))
    (found,) = work(treated(), *steps)
    assert (found.row_id, found.what) == ("a", "Work begun (weeding)")


def test_an_explained_start_explains_the_whole_work() -> None:
    item = treated()
    steps = (step(JobStep.STARTED, at(12), "a"), step(JobStep.DONE, at(20), "b"))
    (found,) = work(item, *steps, said=(explained(item, "a", "job_event"),))
    assert found.unexplained == ()
