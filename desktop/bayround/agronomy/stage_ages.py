"""How far the fruit of a stage have come in it, from the rounds before.

Fruit set in flushes (Wubs et al. 2009, HortScience 44:1296-1301: week-to-week variation of set 1.1 to 1.6
times its mean in large-fruited sweet pepper), so the fruit of one stage are not spread evenly over it. The
earlier counts of the same plants say when they came in: what has reached a stage or passed it, now less
then, is what entered in between. Without earlier counts only the unevenness itself can be allowed for.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number
from bayround.agronomy.ripening_time import FruitStage

__all__ = ["AgeBin", "EarlierCount", "StageAges", "even_ages", "stage_ages"]


@dataclass(frozen=True, slots=True)
class EarlierCount:
    """One round of the same marked plants: ``clock_ago`` units of the clock ago (0: today).

    counts: fruit by stage, youngest first, all plants together. picked: fruit picked from these plants
    after the next older round of the list and up to this one.
    """

    clock_ago: float
    counts: Sequence[float]
    picked: float = 0.0


@dataclass(frozen=True, slots=True)
class AgeBin:
    """Share of a stage's fruit that entered it between ``youngest`` and ``oldest`` units of the clock ago."""

    youngest: float
    oldest: float
    share: float


@dataclass(frozen=True, slots=True)
class StageAges:
    """Ages of the fruit in one stage; ``fruit`` is how many fruit that is known from (0: not known at all)."""

    bins: tuple[AgeBin, ...]
    fruit: float


def even_ages(duration: float, width: float) -> StageAges:
    """Fruit spread evenly over a stage, known from nothing, in equal bins of at most ``width``.

    Both in units of the clock. Errors: ValueError when one is not above 0.
    """
    count = math.ceil(positive_number(duration, "duration") / positive_number(width, "width"))
    edges = [duration * place / count for place in range(count + 1)]
    return StageAges(tuple(AgeBin(start, end, 1 / count) for start, end in pairwise(edges)), 0.0)


def _require_rounds(rounds: Sequence[EarlierCount], stages: Sequence[FruitStage]) -> None:
    if not rounds or rounds[0].clock_ago != 0:
        raise ValueError("the first round must be today's, with clock_ago 0")
    if any(older.clock_ago <= newer.clock_ago for newer, older in pairwise(rounds)):
        raise ValueError("rounds must go back in time from the first to the last")
    for each in rounds:
        not_negative_number(each.picked, "picked")
        if len(each.counts) != len(stages):
            raise ValueError("every round needs one count a stage")
        if not (min(each.counts) >= 0 and sum(each.counts) < math.inf):
            raise ValueError(f"counts must be finite and not below 0, not {list(each.counts)}")


def _entered(rounds: Sequence[EarlierCount], place: int) -> list[tuple[float, float, float]]:
    """(youngest, oldest, fruit) that entered the stage between each two rounds, newest first."""
    reached = [math.fsum(each.counts[place:]) for each in rounds]
    return [
        (newer.clock_ago, older.clock_ago, max(0.0, reached[index] - reached[index + 1] + newer.picked))
        for index, (newer, older) in enumerate(pairwise(rounds))
    ]


def _ages_of(stage: FruitStage, entered: Sequence[tuple[float, float, float]], now: float) -> StageAges:
    kept: list[tuple[float, float, float]] = []
    for youngest, oldest, fruit in entered:
        if youngest < stage.duration:
            end = min(oldest, stage.duration)
            kept.append((youngest, end, fruit * (end - youngest) / (oldest - youngest)))
    covered = kept[-1][1] if kept else 0.0
    if covered < stage.duration:
        left = max(0.0, now - math.fsum(fruit for _, _, fruit in kept))
        kept.append((covered, stage.duration, left))
    total = math.fsum(fruit for _, _, fruit in kept)
    if total == 0 or now == 0:
        return even_ages(stage.duration, stage.duration)
    return StageAges(tuple(AgeBin(start, end, fruit / total) for start, end, fruit in kept), now)


def stage_ages(rounds: Sequence[EarlierCount], stages: Sequence[FruitStage]) -> tuple[StageAges, ...]:
    """Ages of the fruit in every stage, from today's round and those before it.

    rounds: the same marked plants each time, newest first, the first today; the clock in the unit of the
    stage durations. Fruit that the earlier rounds do not reach back to are spread evenly over the rest of
    their stage; fruit lost between two rounds make a cohort look smaller, never below none.
    Errors: ValueError when the first round is not today's, rounds do not go back in time, a count is below
    0, or a round has not one count a stage.
    """
    _require_rounds(rounds, stages)
    return tuple(
        _ages_of(stage, _entered(rounds, place), rounds[0].counts[place])
        for place, stage in enumerate(stages)
    )
