"""House checks: kept part by part, a fault needs words, the newest look counts, jobs done inside are stopped."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

from bayround.actions import house_checks, jobs
from bayround.actions import week as week_actions
from bayround.facts.ids import new_id
from bayround.facts.kept import Condition
from bayround.facts.problems import Refused
from bayround.facts.rounds import Round
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.records import write_setup
from bayround.records.check import check

FAULT = {"posts": (Condition.FAULT, "north post leans"), "cover": (Condition.GOOD, "")}


def test_kept_shown_and_ended_by_a_good_look(small: SmallFarm) -> None:
    house_checks.record(small.open, small.house.id, FAULT, TODAY - timedelta(days=1), small.moment)
    (state,) = house_checks.read(small.open, small.bays[1].id)
    assert [fault.part for fault in state.faults] == ["posts"]
    assert state.told("posts") == "2026-10-19 fault: north post leans"
    assert state.told("wires") == "never looked at"
    house_checks.record(small.open, small.house.id, {"posts": (Condition.GOOD, "")}, TODAY, small.moment)
    assert house_checks.read(small.open)[0].faults == ()
    assert check(small.open.store) == ()


@pytest.mark.parametrize(
    ("looks", "words"),
    [
        ({}, "Nothing was looked at"),
        ({"cover": (Condition.NOT_LOOKED_AT, "")}, "Nothing was looked at"),
        ({"cover": (Condition.FAULT, " ")}, "needs a few words"),
        ({"roof garden": (Condition.GOOD, "")}, "no part of a house"),
    ],
)
def test_refused(small: SmallFarm, looks: dict[str, tuple[Condition, str]], words: str) -> None:
    with pytest.raises(Refused, match=words):
        house_checks.record(small.open, small.house.id, looks, TODAY, small.moment)
    assert house_checks.read(small.open)[0].newest == {}


def test_a_fault_is_a_job_a_warning_and_stops_other_work(small: SmallFarm) -> None:
    write_setup.add(small.open.store, Round(new_id(), date(2026, 10, 19), small.person.id))
    house_checks.record(small.open, small.house.id, FAULT, TODAY, small.moment)
    snapshot = week_actions.picture(small.open, Week.of(TODAY), TODAY)
    house_jobs = [job for job in snapshot.jobs if job.kind is JobKind.HOUSE]
    assert [job.bay_id for job in house_jobs] == [small.bays[0].id]
    assert house_jobs[0].priority == 1
    assert any("Keep people out" in warning for warning in snapshot.warnings)
    assert all("Keep people out" in " ".join(seen.warnings) for seen in snapshot.bays)
    other = next(job for job in snapshot.jobs if job.kind is JobKind.ROUND)
    with pytest.raises(Refused, match="nobody goes in"):
        jobs.start(small.open, other, small.moment)
    jobs.done(small.open, house_jobs[0], small.moment, 2.0)
    again = week_actions.picture(small.open, Week.of(TODAY), TODAY)
    assert next(job for job in again.jobs if job.kind is JobKind.HOUSE).state_text == "done, to be confirmed"
    assert check(small.open.store) == ()
