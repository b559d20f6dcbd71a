"""Is this number a slip of the hand? A keyed value against its plant's past, its neighbours and the limits.

A value is doubted when it breaks a rule of the field (limits, never falls, rises too fast), when it is far
from both what its own past and what the neighbours' change this week lead one to expect, or when it is
somewhat far and one slip of the hand explains it. Nothing is ever refused or changed here: the person at the
keys decides.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import Final, Literal

from bayround.agronomy.digit_slips import DigitRule, meant_values
from bayround.agronomy.inputs import finite_number, finite_numbers
from bayround.agronomy.robust import DOUBTFUL_Z, robust_deviation

Rule = (
    DigitRule
    | Literal["below-lowest", "above-highest", "below-last-week", "rose-too-much", "out-of-line"]
    | Literal["row-repeated", "row-skipped", "row-doubled"]
)

#: Weeks of a plant's own past that still tell something about this week.
_PAST_READINGS = 8

#: A number that may have been meant must lie within this many spreads of what is expected.
_FITTING_Z = 1.5

#: How much smaller the squared distance of the number meant must be than that of the number keyed: twice a
#: log likelihood ratio, 4.5 for odds of 9 to 1; more for slips that, with many numbers to choose from, explain
#: too much. Set on simulated rounds (tests/agronomy/test_slip_rates.py), no other source.
_EVIDENCE: Final[dict[DigitRule, float]] = {
    "ten-times": 4.5,
    "tenth": 4.5,
    "digit-doubled": 4.5,
    "digits-swapped": 6.5,
    "digit-dropped": 6.5,
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """One reason to ask: the rule's stable name, the key of its wording, and what one would have expected."""

    rule: Rule
    message_key: str
    expected: float | None


@dataclass(frozen=True, slots=True)
class FieldLimits:
    """What is known of a field beforehand, in its own unit.

    ``lowest`` and ``highest`` bound any value. ``never_falls`` for heights and running totals, whose weekly
    change then is what is judged; ``largest_weekly_rise`` bounds it and falls up to ``measuring_error`` are
    let pass. ``counted`` for counts of things, judged on Anscombe's square-root scale. ``usual_spread`` is
    the usual standard deviation of a plant's weekly change (``never_falls``), of its level, or, for counts,
    on the square-root scale, where chance alone gives 1. ``plant_spread`` is the usual standard deviation
    between plants of a bay, on the same scale, for plants without a past.
    """

    lowest: float
    highest: float
    usual_spread: float
    decimals: int = 0
    never_falls: bool = False
    counted: bool = False
    largest_weekly_rise: float | None = None
    measuring_error: float = 0.0
    plant_spread: float | None = None

    def __post_init__(self) -> None:
        if not (self.lowest <= self.highest and self.usual_spread > 0.0 and self.measuring_error >= 0.0):
            raise ValueError("limits must rise from lowest to highest, with a spread above 0")


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another plant of the bay in this visit: its value now, and last week's if it had one."""

    now: float
    last: float | None


@dataclass(frozen=True, slots=True)
class Expectation:
    """What one expects of a reading: ``centre`` in the field's unit, ``spread`` on the judging scale."""

    centre: float
    spread: float
    counted: bool

    def distance(self, value: float) -> float:
        """How many spreads a value lies from the centre, sign included."""
        scale = _judging_scale(self.counted)
        return (scale(value) - scale(self.centre)) / self.spread


def _judging_scale(counted: bool) -> Callable[[float], float]:
    """Counts as 2·√(x + 3/8), where chance alone has standard deviation 1 (Anscombe 1948); the rest as is."""
    return (lambda value: 2.0 * math.sqrt(max(0.0, value) + 0.375)) if counted else (lambda value: value)


def _back(value: float, counted: bool) -> float:
    """The inverse of ``_judging_scale``."""
    return max(0.0, max(0.0, value) ** 2 / 4.0 - 0.375) if counted else value


def _around(references: Sequence[float], usual_spread: float) -> tuple[float, float]:
    """Median of the references and the spread of a new value about it: never below the usual one.

    Widened by √(1 + 1.57/n), the uncertainty of a median of n normal values.
    """
    n = len(references)
    spread = max(usual_spread, robust_deviation(references) if n >= 4 else 0.0)
    return median(references), spread * math.sqrt(1.0 + math.pi / 2.0 / n)


def expect_from_past(
    history: Sequence[tuple[float, float]], day: float, limits: FieldLimits
) -> Expectation | None:
    """What a plant's own past leads one to expect on ``day``; ``None`` when it has too little of a past.

    ``history`` holds (day, value), oldest first. For ``never_falls`` fields the last value plus the median
    weekly rise (two readings needed), otherwise the median level.
    """
    past = list(history)[-_PAST_READINGS:]
    counted = limits.counted and not limits.never_falls
    if not limits.never_falls:
        if not past:
            return None
        scale = _judging_scale(counted)
        centre, spread = _around([scale(value) for _, value in past], limits.usual_spread)
        return Expectation(_back(centre, counted), spread, counted)
    rises = [7.0 * (v - u) / (d - c) for (c, u), (d, v) in pairwise(past) if d > c]
    if not rises:
        return None
    weeks = (day - past[-1][0]) / 7.0
    rise, spread = _around(rises, limits.usual_spread)
    return Expectation(past[-1][1] + rise * weeks, spread * math.sqrt(max(1.0, weeks)), False)


def expect_from_neighbours(
    last: float | None, neighbours: Sequence[Neighbour], limits: FieldLimits
) -> Expectation | None:
    """What the neighbours' change since last week leads one to expect; ``None`` with fewer than three.

    A plant without last week's value is expected at the neighbours' level, if ``plant_spread`` is given.
    """
    counted = limits.counted and not limits.never_falls
    scale = _judging_scale(counted)
    if last is None:
        if limits.plant_spread is None or len(neighbours) < 3:
            return None
        centre, spread = _around([scale(other.now) for other in neighbours], limits.plant_spread)
        return Expectation(_back(centre, counted), spread, counted)
    changes = [scale(other.now) - scale(other.last) for other in neighbours if other.last is not None]
    if len(changes) < 3:
        return None
    usual = limits.usual_spread * (1.0 if limits.never_falls else math.sqrt(2.0))
    change, spread = _around(changes, usual)
    return Expectation(_back(scale(last) + change, counted), spread, counted)


def check_value(
    value: float,
    day: float,
    history: Sequence[tuple[float, float]],
    limits: FieldLimits,
    neighbours: Sequence[Neighbour] = (),
    doubtful_z: float = DOUBTFUL_Z,
) -> list[Doubt]:
    """Every reason to ask about a keyed value, the likeliest first; empty when there is none.

    ``history`` holds (day, value) of the same plant, oldest first, all before ``day``; ``neighbours`` the
    plants of the bay keyed already. A value more than ``doubtful_z`` spreads from both expectations is out of
    line; nearer, it is doubted only if one slip explains it better by the odds of `_EVIDENCE`. Raises
    ValueError for a value that is not finite or a history that is not in order before ``day``.
    """
    finite_number(value, "value")
    days = finite_numbers([*(d for d, _ in history), day], "days")
    if any(later <= earlier for earlier, later in pairwise(days)):
        raise ValueError("history must be in order of days, and before the day of the value")
    last = history[-1][1] if history else None
    own = expect_from_past(history, day, limits)
    expected = [e for e in (own, expect_from_neighbours(last, neighbours, limits)) if e is not None]
    centre = expected[0].centre if expected else None

    def distance(of: float) -> float:
        return min((abs(one.distance(of)) for one in expected), default=0.0)

    def breaks(of: float) -> list[Doubt]:
        return _broken_rules(of, day, history, limits, centre)

    broken = breaks(value)
    doubts = _explanations(value, limits.decimals, distance, breaks) if expected else []
    if distance(value) > doubtful_z:
        broken.append(doubt("out-of-line", centre))
    return doubts + broken


def doubt(rule: Rule, expected: float | None) -> Doubt:
    """A ``Doubt`` with the message key that belongs to its rule."""
    return Doubt(rule, f"doubt.{rule}", expected)


def _broken_rules(
    value: float,
    day: float,
    history: Sequence[tuple[float, float]],
    limits: FieldLimits,
    centre: float | None,
) -> list[Doubt]:
    """Rules of the field that the value breaks, whatever the statistics say."""
    broken: list[Doubt] = []
    if value < limits.lowest:
        broken.append(doubt("below-lowest", centre if centre is not None else limits.lowest))
    if value > limits.highest:
        broken.append(doubt("above-highest", centre if centre is not None else limits.highest))
    if history and limits.never_falls:
        last_day, last = history[-1]
        if value < last - limits.measuring_error:
            broken.append(doubt("below-last-week", centre if centre is not None else last))
        rise = limits.largest_weekly_rise
        if (
            rise is not None
            and value - last > rise * max(1.0, (day - last_day) / 7.0) + limits.measuring_error
        ):
            broken.append(doubt("rose-too-much", centre if centre is not None else last))
    return broken


def _explanations(
    value: float, decimals: int, distance: Callable[[float], float], breaks: Callable[[float], list[Doubt]]
) -> list[Doubt]:
    """The best number meant for each kind of slip that explains the value well enough, nearest first."""
    far, broken = distance(value), bool(breaks(value))
    if value < 0.0 or (not broken and far * far < min(_EVIDENCE.values())):
        return []
    best: dict[Rule, tuple[float, float]] = {}
    for meant in meant_values(value, decimals):
        away = distance(meant.value)
        if away > _FITTING_Z or (not broken and far * far - away * away < _EVIDENCE[meant.rule]):
            continue
        if (meant.rule not in best or away < best[meant.rule][0]) and not breaks(meant.value):
            best[meant.rule] = (away, meant.value)
    ranked = sorted(best.items(), key=lambda item: item[1][0])
    return [doubt(rule, meant_value) for rule, (_, meant_value) in ranked]
