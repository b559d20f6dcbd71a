"""Which visits looked at what a job is about: only those can show its need, or that it is gone."""

from __future__ import annotations

from dataclasses import replace

from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Planting
from bayround.facts.work import JobKind
from bayround.figures import fruit, sampled

_LOOKED = frozenset({""})
_NOTHING: frozenset[str] = frozenset()


def targets(kind: JobKind, visit: VisitRecord, planting: Planting, profile: CropProfile) -> frozenset[str]:
    """Return the targets of jobs of a kind that a visit looked at: organisms, or the empty target of other jobs."""
    if kind is JobKind.PEST:
        checked = {check.organism for check in visit.checks}
        return frozenset(checked | {card.organism for card in visit.cards})
    if kind is JobKind.TRELLIS:
        heights, ties = (sampled.values_of(visit, field) for field in ("height_cm", "last_tie_cm"))
        looked = bool(heights.keys() & ties.keys())
    elif kind is JobKind.BALANCE:
        looked = bool(sampled.fruit_of(visit))
    elif kind is JobKind.WEED:
        looked = bool(visit.weeds)
    elif kind is JobKind.PICK:
        stages = fruit.FROM_STAGE[fruit.pick_stage(profile, planting)]
        looked = any(sampled.values_of(visit, stage) for stage in stages)
    else:
        looked = False
    return _LOOKED if looked else _NOTHING


def newest(
    kind: JobKind, past: BayPast, planting: Planting, profile: CropProfile
) -> list[tuple[BayPast, frozenset[str]]]:
    """Return (the bay up to a visit, targets of which that visit is the newest look), newest visit first."""
    found: list[tuple[BayPast, frozenset[str]]] = []
    known: frozenset[str] = _NOTHING
    for upto in range(len(past.visits), 0, -1):
        fresh = targets(kind, past.visits[upto - 1], planting, profile) - known
        if fresh:
            newest_of_all = upto == len(past.visits)
            found.append((past if newest_of_all else replace(past, visits=past.visits[:upto]), fresh))
            known |= fresh
            if kind is not JobKind.PEST:
                break
    return found
