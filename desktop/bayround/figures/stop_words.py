"""The stop table of an organism in a few words, as it stands on a walk sheet: how many found say leave, or act."""

from __future__ import annotations

from collections.abc import Sequence

from bayround import words
from bayround.agronomy import sequential
from bayround.crops.organisms import Organism, Threshold
from bayround.figures.pest_verdicts import plan_of, thresholds_used
from bayround.words import _

MOST_STEPS = 4
"""Steps of each line that are written out; more are too much to read in a walk."""


def stop_words(organism: Organism, crop: str) -> tuple[str, int]:
    """Return what to do by what is found on the usual part, and the most units that are worth looking at.

    The number is 0 where no stop rule is set.
    """
    first: list[str] = []
    then: list[str] = []
    at_most = 0
    used = [one for one in thresholds_used(organism, crop) if one.part in {"", organism.default_inspect}]
    at_first_find = any(one.kind == "presence" for one in used)
    for threshold in used:
        plan = plan_of(threshold)
        if plan is not None:
            at_most = max(at_most, plan.largest)
            first.append(_leave_words(plan) if at_first_find else plan_words(plan))
        elif threshold.kind == "presence":
            first.insert(0, _threshold_words(threshold))
        else:
            then.append(_threshold_words(threshold))
    return "; ".join(first + then), at_most


def _leave_words(plan: sequential.SequentialPlan) -> str:
    """Return from how many clean ones on the bay may be left."""
    clean = next(
        (row.inspected for row in sequential.stop_table(plan) if row.leave_at_most is not None), plan.largest
    )
    return _("leave at 0 of {n}").format(n=clean)


def plan_words(plan: sequential.SequentialPlan) -> str:
    """Return a stop table: ``leave at 0 of 13, 1 of 21; act at 3 of 4, 4 of 13``.

    Each step is the first number looked at at which so many found say leave, and the last at which so many say
    act (Wald 1945, Ann. Math. Stat. 16:117–186; the table is `sequential.stop_table`).
    """
    table = sequential.stop_table(plan)
    leave: dict[int, int] = {}
    act: dict[int, int] = {}
    for row in table:
        if row.leave_at_most is not None:
            leave.setdefault(row.leave_at_most, row.inspected)
        if row.act_at_least is not None:
            act[row.act_at_least] = row.inspected
    parts = []
    if leave:
        parts.append(_("leave at {steps}").format(steps=_steps(leave, _("{found} of {n}"))))
    if act:
        parts.append(_("act at {steps}").format(steps=_steps(act, _("{found} in up to {n}"))))
    return "; ".join(parts)


def _steps(found_at: dict[int, int], pattern: str) -> str:
    steps = sorted(found_at.items())
    return ", ".join(pattern.format(found=found, n=n) for found, n in _thinned(steps))


def _thinned(steps: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return at most `MOST_STEPS` steps: the first, the last, and even ones between."""
    if len(steps) <= MOST_STEPS:
        return list(steps)
    last = len(steps) - 1
    places = sorted({round(last * step / (MOST_STEPS - 1)) for step in range(MOST_STEPS)})
    return [steps[place] for place in places]


def _threshold_words(threshold: Threshold) -> str:
    value = f"{threshold.value:g}".replace(".", words.number(0.5, 1)[1])
    if threshold.kind == "presence":
        return _("act at the first find")
    if threshold.kind == "card_per_day":
        return _("act from {value} per card and day").format(value=value)
    if threshold.kind == "severity_percent":
        return _("act from {value} % of the leaf area").format(value=value)
    if threshold.kind == "mean_per_unit":
        return _("act from {value} on average per {part}").format(value=value, part=_(threshold.part))
    return _("act from {value} % infested").format(value=value)
