"""What a stop rule really does: chance of each answer and average number looked at, for any true level.

Exact by dynamic programming over the running total (step from look to look, drop what crosses a line); Wald's
approximations beside it, which ignore the overshoot and the cut-off and so promise too few plants.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.inputs import positive_number
from bayround.agronomy.sequential import (
    SequentialPlan,
    StopLines,
    act_at_least,
    leave_at_most,
    looks,
    stop_lines,
)


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """At one true level: chance of each answer, and the average number of units inspected."""

    true_level: float
    leave: float
    act: float
    cannot_tell: float
    average_inspected: float


@dataclass(frozen=True, slots=True)
class WaldPoint:
    """Wald's approximate chance to leave and average number, without cut-off, at one true level."""

    true_level: float
    leave: float
    average_inspected: float


def _batch_chances(plan: SequentialPlan, true_level: float, units: int, most: int) -> list[float]:
    """Chances that a batch of ``units`` units adds 0, 1, ... ``most`` to the total found."""
    if plan.kind == "presence":
        odds = math.log(true_level) - math.log1p(-true_level)
        start = units * math.log1p(-true_level)
        top = min(most, units)
        logs = [
            math.lgamma(units + 1) - math.lgamma(x + 1) - math.lgamma(units - x + 1) for x in range(top + 1)
        ]
        return [math.exp(start + x * odds + log) for x, log in enumerate(logs)]
    mean = units * true_level
    if plan.kind == "poisson":
        return [math.exp(x * math.log(mean) - mean - math.lgamma(x + 1)) for x in range(most + 1)]
    size = units * (plan.k or 1.0)
    start = -size * math.log1p(mean / size) - math.lgamma(size)
    rise = math.log(mean / (size + mean))
    return [math.exp(start + math.lgamma(size + x) - math.lgamma(x + 1) + x * rise) for x in range(most + 1)]


def exact_operating(plan: SequentialPlan, true_level: float) -> OperatingPoint:
    """Exact chances of act, leave and cannot tell, and the average number inspected, of the cut-off plan.

    ``true_level`` is a share for "presence", a mean per unit otherwise. Units are taken as independent draws:
    plants in clumps make the true risks larger. Raises ValueError for a level of 0 or below, or a share of 1
    or above.
    """
    positive_number(true_level, "true level")
    if plan.kind == "presence" and true_level >= 1.0:
        raise ValueError(f"a share must be below 1, not {true_level}")
    going: dict[int, float] = {0: 1.0}
    leave = act = average = 0.0
    before = 0
    for n in looks(plan):
        act_from, leave_to = act_at_least(plan, n), leave_at_most(plan, n)
        ceiling = n + 1 if act_from is None else act_from
        average += (n - before) * math.fsum(going.values())
        chances = _batch_chances(plan, true_level, n - before, ceiling - 1)
        after: dict[int, float] = {}
        for total, weight in going.items():
            stays = chances[: max(0, ceiling - total)]
            if act_from is not None:
                act += weight * max(0.0, 1.0 - math.fsum(stays))
            for extra, chance in enumerate(stays):
                after[total + extra] = after.get(total + extra, 0.0) + weight * chance
        if leave_to is not None:
            leave += math.fsum(weight for total, weight in after.items() if total <= leave_to)
            after = {total: weight for total, weight in after.items() if total > leave_to}
        going, before = after, n
    return OperatingPoint(true_level, leave, act, math.fsum(going.values()), min(average, plan.largest))


def operating_curve(plan: SequentialPlan, true_levels: Sequence[float]) -> tuple[OperatingPoint, ...]:
    """``exact_operating`` at each level: the operating characteristic and average number curves."""
    return tuple(exact_operating(plan, level) for level in true_levels)


def _level_at(plan: SequentialPlan, h: float) -> float:
    """True level that belongs to Wald's parameter h; at h = 0 the slope of the lines."""
    low, high, k = plan.leave_level, plan.act_level, plan.k or 1.0
    if h == 0.0:
        return stop_lines(plan).slope
    if plan.kind == "presence":
        log_fail = h * math.log((1.0 - high) / (1.0 - low))
        return math.expm1(log_fail) / (math.expm1(log_fail) - math.expm1(h * math.log(high / low)))
    if plan.kind == "poisson":
        return h * (high - low) / math.expm1(h * math.log(high / low))
    log_q = math.log((k + low) / (k + high))
    return -k * math.expm1(h * log_q) / math.expm1(h * (math.log(high / low) + log_q))


def _log_ratio_mean_and_variance(plan: SequentialPlan, lines: StopLines, level: float) -> tuple[float, float]:
    """Mean and variance, per unit, of the log likelihood ratio of act level to leave level."""
    log_act = math.log((1.0 - plan.risk_missed) / plan.risk_needless)
    weight = log_act / lines.upper
    variance = level * (1.0 - level)
    if plan.kind == "poisson":
        variance = level
    elif plan.kind == "negative binomial":
        variance = level + level * level / (plan.k or 1.0)
    return weight * (level - lines.slope), weight * weight * variance


def wald_point(plan: SequentialPlan, h: float) -> WaldPoint:
    """Wald's approximation at parameter ``h``: 1 at the leave level, -1 at the act level, 0 at the slope.

    Chance to leave (A^h - 1)/(A^h - B^h), A = (1-beta)/alpha, B = beta/(1-alpha); average number from Wald's
    identity.
    """
    log_a = math.log((1.0 - plan.risk_missed) / plan.risk_needless)
    log_b = math.log(plan.risk_missed / (1.0 - plan.risk_needless))
    level = _level_at(plan, h)
    mean, variance = _log_ratio_mean_and_variance(plan, stop_lines(plan), level)
    if abs(h) < 1e-6:
        return WaldPoint(level, log_a / (log_a - log_b), -log_a * log_b / variance)
    up, down = math.expm1(h * log_a), math.expm1(h * log_b)
    leave = up / (up - down)
    return WaldPoint(level, leave, (leave * log_b + (1.0 - leave) * log_a) / mean)


def wald_operating(plan: SequentialPlan, true_level: float) -> WaldPoint:
    """Wald's approximation at a true level, for comparison with ``exact_operating``.

    Raises ValueError for a level of 0 or below, or a share of 1 or above, or one so far off that h passes 60.
    """
    positive_number(true_level, "true level")
    low, high = -60.0, 60.0
    if not _level_at(plan, high) < true_level < _level_at(plan, low):
        raise ValueError(f"a true level of {true_level} is out of reach of this plan")
    for _ in range(200):
        middle = (low + high) / 2.0
        if _level_at(plan, middle) > true_level:
            low = middle
        else:
            high = middle
    return wald_point(plan, (low + high) / 2.0)
