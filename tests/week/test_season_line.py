"""The time line of a bay: the figures of its visits, its decisions, picks beside forecasts, ties, what was done."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from bayround.actions import sample
from bayround.crops import Crops, load_crops
from bayround.facts.weeks import Week
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Treatment
from bayround.figures.pest_verdicts import Decision, verdicts
from bayround.jobs import intervals
from bayround.week import bay_figures, build, season_line
from bayround.week.season_events import EventKind, events_of
from bayround.week.snapshot import BayWeek, WeekSnapshot

DAY = date(2026, 11, 20)


@pytest.fixture(scope="module")
def crops() -> Crops:
    return load_crops()


@pytest.fixture(scope="module")
def week(crops: Crops) -> WeekSnapshot:
    return build.build(sample.season_facts(), crops, Week.of(DAY), DAY)


@pytest.fixture(scope="module")
def now(week: WeekSnapshot) -> BayWeek:
    return next(seen for seen in week.bays if seen.bay.name == "S7")


def test_every_visit_shows_the_figures_of_its_week(now: BayWeek, crops: Crops) -> None:
    line = season_line.build(now, crops)
    assert len(line.visits) == len(now.past.visits) > 15
    for point in (line.visits[0], line.visits[9], line.visits[-1]):
        wanted = bay_figures.all_figures(now.past.up_to(point.day), crops, point.day, coming=False)
        for key in season_line.FIGURES[:4]:
            assert point.figures[key] == wanted[key]


def test_the_decision_is_the_strongest_of_the_visit(now: BayWeek, crops: Crops) -> None:
    assert now.planting is not None
    profile = crops.profile(now.planting.crop)
    order = [Decision.ACT, Decision.LOOK_MORE, Decision.CANNOT_TELL, Decision.LEAVE, Decision.NO_THRESHOLD]
    for point, record in zip(season_line.build(now, crops).visits, now.past.visits, strict=True):
        said = [one.decision for one in verdicts(record, profile, crops.organisms)]
        assert point.decision == min(said, key=order.index).value
        assert point.organism in {organism.name for organism in crops.organisms.values()}


def test_picks_add_up_and_stand_beside_what_was_foreseen(now: BayWeek, crops: Crops) -> None:
    line = season_line.build(now, crops)
    kept = [one.picked.value for one in line.picks if one.picked is not None]
    assert sum(kept) == pytest.approx(sum(pick.kg for pick in now.past.picks))
    first = Week.of(now.past.picks[0].picked_on)
    found = line.picks_in(first)
    assert found is not None
    assert found.picked is not None
    assert found.picked.value == pytest.approx(
        sum(pick.kg for pick in now.past.picks if Week.of(pick.picked_on) == first)
    )
    coming = [one for one in line.picks if one.coming is not None]
    assert [one.week for one in coming] == [Week.of(now.past.visits[-1].day).plus(step) for step in range(5)]
    assert coming[1].coming is not None
    assert coming[1].coming.value == now.latest["picks_kg_next"].value


def test_the_next_tie_has_the_day_of_its_figure(now: BayWeek, crops: Crops) -> None:
    line = season_line.build(now, crops)
    figure = now.latest["days_to_tie"]
    assert line.tie is not None
    assert figure.value is not None
    assert line.tie.day == now.past.visits[-1].day + timedelta(days=round(figure.value))
    assert line.tie.first <= line.tie.day <= line.tie.last
    assert Week.of(line.tie.day) in line.weeks()


def test_treatments_carry_the_intervals_of_their_labels(now: BayWeek) -> None:
    ended = datetime(2026, 11, 2, 9, tzinfo=UTC)
    known = Treatment("t1", ended, "aphids", "soap", re_entry_hours=24.0, pre_harvest_days=3.0)
    unknown = replace(known, id="t2", pre_harvest_days=None)
    release = Treatment("t3", ended, "thrips", "predatory mites", biological=True)
    past = replace(now.past, treatments=(known, unknown, release), jobs=(), job_events=())
    first, second, third = sorted(
        events_of(past, DAY), key=lambda event: (event.kind != "treatment", event.unknown)
    )
    assert (first.kind, first.start, first.enter_on, first.pick_on, first.unknown) == (
        EventKind.TREATMENT, date(2026, 11, 2), date(2026, 11, 3), date(2026, 11, 5), False,
    )  # fmt: skip
    assert second.unknown
    assert "not safe" in second.text
    assert (third.kind, third.unknown, third.pick_on) == (EventKind.RELEASE, False, None)
    assert first.last == date(2026, 11, 5)


def test_who_picks_has_to_enter_too(now: BayWeek) -> None:
    """Of both intervals the later one decides when fruit may be picked, as the clocks of the bay say."""
    ended = datetime(2026, 11, 2, 9, tzinfo=UTC)
    treated = Treatment("t1", ended, "aphids", "soap", re_entry_hours=48.0, pre_harvest_days=0.0)
    unknown = replace(treated, id="t2", re_entry_hours=None)
    past = replace(now.past, treatments=(treated, unknown), jobs=(), job_events=())
    first, second = sorted(events_of(past, DAY), key=lambda event: event.unknown)
    assert first.pick_on == first.enter_on == date(2026, 11, 4)
    entry = intervals.moment_text(ended + timedelta(hours=48))
    assert first.text.count(entry) == 2
    assert "pick from" not in second.text
    assert "not safe" in second.text


def test_jobs_are_bars_from_the_day_they_were_raised(now: BayWeek) -> None:
    raised = date(2026, 11, 2)
    at = datetime(2026, 11, 9, tzinfo=UTC)
    jobs = tuple(JobRecord(key, now.bay.id, JobKind.WEED, "", raised, raised, "Weeds.") for key in "abc")
    steps = (
        JobEvent("1", "a", JobStep.DONE, date(2026, 11, 9), at),
        JobEvent("2", "a", JobStep.CONFIRMED, date(2026, 11, 17), at + timedelta(days=8)),
        JobEvent("3", "b", JobStep.SKIPPED, date(2026, 11, 4), at),
    )
    past = replace(now.past, treatments=(), jobs=jobs, job_events=steps)
    found = {event.kind: event for event in events_of(past, DAY)}
    assert {kind: event.end for kind, event in found.items()} == {
        EventKind.JOB_DONE: date(2026, 11, 9),
        EventKind.JOB_SKIPPED: date(2026, 11, 4),
        EventKind.JOB_OPEN: DAY,
    }


def test_a_bay_without_a_crop_has_an_empty_line(now: BayWeek, crops: Crops) -> None:
    empty = replace(now, past=replace(now.past, planting=None, visits=()))
    assert season_line.build(empty, crops).weeks() == ()
