"""The sentences on the first sheet: what they call a change, late, coming, to decide, unknown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import paper_weeks as weeks
import pytest

from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.figures.figure import Figure, Why
from bayround.jobs.job import Job, JobState
from bayround.paper.workbook import sentences
from bayround.week import changed
from bayround.week.snapshot import WeekSnapshot


def figure(
    figure_id: str, label: str, value: float, half_width: float | None, unit: str = "fruit/m²"
) -> Figure:
    low, high = (None, None) if half_width is None else (value - half_width, value + half_width)
    return Figure(figure_id, label, value, unit, 1, Why("A rule."), low=low, high=high, n=10)


@pytest.fixture(scope="module")
def base() -> WeekSnapshot:
    """Return a week without jobs in which every bay was visited."""
    snapshot = weeks.snapshot(weeks.season(houses=1, bays=3))
    return replace(snapshot, jobs=(), bays=tuple(replace(seen, jobs=()) for seen in snapshot.bays))


def with_load(base: WeekSnapshot, before: Figure, now: Figure, week: Week | None = None) -> WeekSnapshot:
    """Return the week with one figure in the first bay, last week and this week; the others have none."""
    bays = [
        replace(seen, figures={**seen.figures, now.id: seen.figures[now.id].without("")})
        for seen in base.bays
    ]
    bays = [replace(seen, figures={k: v.without("") for k, v in seen.figures.items()}) for seen in bays]
    bays[0] = replace(bays[0], figures={**bays[0].figures, now.id: now})
    history = ((week or base.week.plus(-1), {before.id: before}),)
    return replace(base, bays=tuple(bays), earlier={bays[0].bay.id: history})


def said(snapshot: WeekSnapshot, about: str) -> str:
    return next(sentence.text for sentence in sentences.write(snapshot) if sentence.about == about)


def test_five_sentences(base):
    assert [sentence.about for sentence in sentences.write(base)] == [
        "Changed",
        "Late",
        "Coming",
        "To decide",
        "Can't tell",
    ]


@pytest.mark.parametrize(
    ("before", "now", "word"),
    [((20.0, 2.0), (25.0, 2.9), "rose"), ((25.0, 2.9), (20.0, 2.0), "fell")],
)
def test_a_change_beyond_its_uncertainty_is_told(base, before, now, word):
    old, new = figure("fruit_per_m2", "Fruit load", *before), figure("fruit_per_m2", "Fruit load", *now)
    expected = f"Since 2026-W46: fruit load {word} from {before[0]} to {now[0]} fruit/m² in House 1 · Bay 1."
    assert said(with_load(base, old, new), "Changed") == expected


@pytest.mark.parametrize(
    ("before", "now"),
    [
        ((20.0, 2.5), (25.0, 2.5)),
        ((20.0, 2.0), (25.0, 4.0)),
        ((20.0, None), (60.0, 1.0)),
        ((20.0, 1.0), (60.0, None)),
    ],
)
def test_a_change_within_its_uncertainty_is_not_told(base, before, now):
    old, new = figure("fruit_per_m2", "Fruit load", *before), figure("fruit_per_m2", "Fruit load", *now)
    assert "rose" not in said(with_load(base, old, new), "Changed")


def test_only_last_week_is_last_week(base):
    old, new = figure("fruit_per_m2", "Fruit load", 20, 1), figure("fruit_per_m2", "Fruit load", 60, 1)
    two_weeks_ago = with_load(base, old, new, base.week.plus(-2))
    assert said(two_weeks_ago, "Changed").startswith("No bay was visited both this week and in 2026-W46")


def test_pests_come_before_growth_and_the_clearest_first(base):
    def pair(figure_id: str, label: str, before: float, now: float) -> tuple[Figure, Figure]:
        return figure(figure_id, label, before, 1, "%"), figure(figure_id, label, now, 1, "%")

    pairs = [
        pair("growth_cm_week", "Growth", 5, 50),
        pair("incidence_aphids", "Incidence of Aphids", 5, 10),
        pair("incidence_thrips", "Incidence of Thrips", 5, 30),
        pair("fruit_per_m2", "Fruit load", 10, 90),
    ]
    first = base.bays[0]
    bays = (
        replace(first, figures={**first.figures, **{now.id: now for _before, now in pairs}}),
        *base.bays[1:],
    )
    earlier = {first.bay.id: ((base.week.plus(-1), {before.id: before for before, _now in pairs}),)}
    found, compared = changed.changes(replace(base, bays=bays, earlier=earlier))
    assert [change.now.id for change in found] == [
        "incidence_thrips",
        "incidence_aphids",
        "fruit_per_m2",
        "growth_cm_week",
    ]
    assert compared == 4


def job(base: WeekSnapshot, due: date, **changes: object) -> Job:
    hours = Figure("hours", "Hours", 2.0, "h", 1, Why("A rule."))
    seen = base.bays[0]
    made = Job(seen.bay.id, "House 1 · Bay 1", JobKind.WEED, "", "Weeds.", due, 2, hours, (), base.as_of)
    return replace(made, **changes)


def test_late_is_past_its_day_and_not_done(base):
    day = timedelta(days=1)
    due_today, past = job(base, base.as_of), job(base, base.as_of - day)
    done = job(base, base.as_of - day, state=JobState.DONE)
    assert said(replace(base, jobs=(due_today, done)), "Late") == "No job is past its day."
    text = said(replace(base, jobs=(due_today, past, done)), "Late")
    assert text == "1 job is past its day: weeding in House 1 · Bay 1 (due Sat 2026-11-21)."


def test_coming_is_the_next_seven_days(base):
    days = [job(base, base.as_of + timedelta(days=ahead)) for ahead in (-1, 0, 7, 8)]
    text = said(replace(base, jobs=tuple(days)), "Coming")
    assert "2 jobs fall due by Sun 2026-11-29: 2 weeding." in text


def test_coming_names_the_picks_and_where_most_of_them_hang(base):
    total = base.totals["picks_kg_next_all"]
    text = said(base, "Coming")
    assert total.value == pytest.approx(sum(seen.figures["picks_kg_next"].value or 0 for seen in base.bays))
    said_first = f"Picks next week: about {total.text} kg (80 % interval {total.interval_text}) from "
    assert text.startswith(said_first)
    without = {key: figure for key, figure in base.totals.items() if key != "picks_kg_next_all"}
    assert "Picks next week" not in said(replace(base, totals=without), "Coming")


def test_to_decide_names_urgent_jobs_of_nobody_and_stopped_ones(base):
    urgent = job(base, base.as_of, priority=1)
    given = job(base, base.as_of, priority=1, assigned_to="Alder")
    stopped = job(base, base.as_of, kind=JobKind.PICK, blocked_by=("no pick before Monday",))
    text = said(replace(base, jobs=(urgent, given, stopped)), "To decide")
    assert text.startswith("1 urgent job is nobody's yet: weeding in House 1 · Bay 1.")
    assert "1 job is stopped: pick in House 1 · Bay 1: no pick before Monday." in text
    nothing = said(replace(base, jobs=(given,)), "To decide")
    assert nothing == "Every urgent job has been given to somebody, and no job is stopped."


def test_many_are_counted_not_listed(base):
    jobs = tuple(job(base, base.as_of - timedelta(days=1)) for _number in range(9))
    text = said(replace(base, jobs=jobs), "Late")
    assert text.startswith("9 jobs are past their day: ")
    assert text.endswith("; and 6 more.")


def test_what_cannot_be_told():
    snapshot = weeks.snapshot(weeks.season(houses=1, bays=3, skip_bay=2))
    text = said(snapshot, "Can't tell")
    assert text.startswith("1 bay was not visited: House 1 · Bay 2.")
    assert "figures compared with last week moved by less than their uncertainty" in text


def test_warnings_come_first(base):
    warned = replace(
        base, warnings=("Fault in House 1: nobody goes in until a competent person has looked.",)
    )
    first = sentences.write(warned)[0]
    assert first == sentences.Sentence(
        "Mind", "Fault in House 1: nobody goes in until a competent person has looked."
    )


def test_no_warning_is_ever_cut(base):
    told = tuple(f"Treated since then: House {n} · Bay 1. Enter from: Tuesday." for n in range(9))
    found = sentences.write(replace(base, warnings=told))
    assert [sentence.text for sentence in found if sentence.about == "Mind"] == list(told)
    assert len(found) == 9 + 5
