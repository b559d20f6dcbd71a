"""The rows that keep why something lies inside an interval: one a treatment, each as its intervals were known then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from bayround.facts.ids import new_id
from bayround.facts.work import Explanation, JobEvent, JobRecord, JobStep, Pick, Treatment
from bayround.jobs import inside
from bayround.jobs.inside import Inside
from bayround.jobs.intervals import counts_from, moment_text
from bayround.words import _


def rows(
    one: Inside, treatments: Iterable[Treatment], said: str, now: datetime, person_id: str | None
) -> list[Explanation]:
    """Return what keeps an explanation of one thing, for each of some treatments."""
    return [
        Explanation(
            new_id(), one.table_name, one.row_id, item.id, item.known_as, said.strip(), now, person_id
        )
        for item in treatments
    ]


def of_new_picks(
    made: Iterable[Pick],
    treatments: Sequence[Treatment],
    explanation: str,
    over_before: bool,
    now: datetime,
    person_id: str | None,
) -> list[Explanation]:
    """Return what is kept with picks that were written down in spite of treatments known then.

    *over_before*: somebody was asked and said that picking was over before a treatment began.
    """
    found: list[Explanation] = []
    for one, pick in _inside(made, treatments):
        later = [item for item, _why in one.reasons if pick.began_at and counts_from(item) > pick.began_at]
        earlier = [item for item, _why in one.reasons if item not in later]
        if explanation.strip():
            found += rows(one, earlier if over_before else [*earlier, *later], explanation, now, person_id)
        if over_before:
            found += rows(one, later, _("asked: picking was over before the treatment began"), now, person_id)
    return found


def _inside(made: Iterable[Pick], treatments: Sequence[Treatment]) -> list[tuple[Inside, Pick]]:
    return [(one, pick) for pick in made for one in inside.of_picks([pick], treatments)]


def of_new_steps(
    record: JobRecord,
    steps: Sequence[JobEvent],
    treatments: Sequence[Treatment],
    kept: Sequence[Explanation],
) -> list[Explanation]:
    """Return what is kept with the last of a job's steps in spite of, or beside, the treatments known then.

    A job ticked off without a start, on a day on which an interval was over by then, was judged by that moment.
    """
    last = steps[-1]
    by_moment = not any(step.step is JobStep.STARTED for step in steps)
    over = _("ticked off at {moment}: the interval was over by then").format(
        moment=moment_text(last.recorded_at)
    )
    said = last.note or (over if by_moment else "")
    if not said:
        return []
    return [
        row
        for one in inside.of_work([record], steps, treatments, kept)
        if one.row_id == last.id
        for row in rows(one, one.unexplained, said, last.recorded_at, last.person_id)
    ]
