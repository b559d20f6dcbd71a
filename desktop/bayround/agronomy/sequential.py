"""Act, leave, or keep looking: stop lines that say after every plant whether enough has been seen.

Wald's sequential probability ratio test, cut off at a largest number where the honest third answer is "cannot
tell". Wald 1945, Ann. Math. Stat. 16:117-186; Binns, Nyrop & van der Werf 2000, Sampling and Monitoring in
Crop Protection, ch. 5. Natural logarithms throughout.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from bayround.agronomy.inputs import positive_number, share_between, whole_number

PlanKind = Literal["presence", "poisson", "negative binomial"]
Answer = Literal["act", "leave", "keep looking", "cannot tell"]

#: Lines often pass exactly through whole numbers; a count this close to a line lies on it.
_ON_THE_LINE = 1e-9


@dataclass(frozen=True, slots=True)
class SequentialPlan:
    """A stop rule for counts (individuals per unit) or presence (share of units infested).

    ``leave_level`` and ``act_level`` are shares for "presence", means per unit otherwise. ``risk_needless``
    is the wanted chance to act although the truth is ``leave_level``; ``risk_missed`` the chance to leave
    although it is ``act_level``. Looked at first after ``first_look`` units, then every ``look_every``, and
    given up at ``largest``. ``k`` is the negative binomial exponent. Raises ValueError when the numbers
    contradict each other.
    """

    kind: PlanKind
    leave_level: float
    act_level: float
    risk_needless: float
    risk_missed: float
    largest: int
    first_look: int = 1
    look_every: int = 1
    k: float | None = None

    def __post_init__(self) -> None:
        positive_number(self.leave_level, "leave level")
        positive_number(self.act_level, "act level")
        if not self.leave_level < self.act_level:
            raise ValueError(f"leave level ({self.leave_level}) must be below act level ({self.act_level})")
        if self.kind == "presence" and self.act_level >= 1.0:
            raise ValueError(f"a share infested must be below 1, not {self.act_level}")
        share_between(self.risk_needless, "risk of acting needlessly")
        share_between(self.risk_missed, "risk of missing it")
        if self.risk_needless + self.risk_missed >= 1.0:
            raise ValueError("the two risks together must be below 1")
        if (self.k is not None) != (self.kind == "negative binomial"):
            raise ValueError("k belongs to the negative binomial plan, and only to it")
        if self.k is not None:
            positive_number(self.k, "k")
        whole_number(self.first_look, "first look", at_least=1)
        whole_number(self.look_every, "look every", at_least=1)
        whole_number(self.largest, "largest number", at_least=self.first_look)


@dataclass(frozen=True, slots=True)
class StopLines:
    """Total found against n inspected: leave at or below lower + slope·n, act at or above upper + slope·n."""

    lower: float
    upper: float
    slope: float


@dataclass(frozen=True, slots=True)
class StopRow:
    """One line of the printed stop table; ``None`` where that answer is not possible yet."""

    inspected: int
    leave_at_most: int | None
    act_at_least: int | None


@dataclass(frozen=True, slots=True)
class SequentialDecision:
    """What to do after ``inspected`` units with ``found`` in total.

    ``clean_to_leave``: how many more units, all clean, would let one leave; ``None`` when not before the end.
    ``found_to_act``: how many more found by the next look would mean act; ``None`` when not possible there.
    ``look_at_more``: units to the next look at which an answer can fall (0 when the answer is final).
    """

    answer: Answer
    inspected: int
    found: int
    clean_to_leave: int | None
    found_to_act: int | None
    look_at_more: int


def stop_lines(plan: SequentialPlan) -> StopLines:
    """The two parallel lines of a plan, in infested units ("presence") or individuals found."""
    low, high = plan.leave_level, plan.act_level
    log_act = math.log((1.0 - plan.risk_missed) / plan.risk_needless)
    log_leave = math.log(plan.risk_missed / (1.0 - plan.risk_needless))
    if plan.kind == "presence":
        divisor = math.log(high * (1.0 - low) / (low * (1.0 - high)))
        rise = math.log((1.0 - low) / (1.0 - high))
    elif plan.kind == "poisson":
        divisor = math.log(high / low)
        rise = high - low
    else:
        k = plan.k or 1.0
        divisor = math.log(high * (low + k) / (low * (high + k)))
        rise = k * math.log((high + k) / (low + k))
    return StopLines(log_leave / divisor, log_act / divisor, rise / divisor)


def _leave(lines: StopLines, inspected: int) -> int | None:
    """Largest total on or below the lower line."""
    limit = math.floor(lines.lower + lines.slope * inspected + _ON_THE_LINE)
    return limit if limit >= 0 else None


def _act(lines: StopLines, kind: PlanKind, inspected: int) -> int | None:
    """Smallest total on or above the upper line."""
    limit = max(1, math.ceil(lines.upper + lines.slope * inspected - _ON_THE_LINE))
    return None if kind == "presence" and limit > inspected else limit


def leave_at_most(plan: SequentialPlan, inspected: int) -> int | None:
    """Largest total found that still says "leave" after ``inspected`` units; ``None`` while none does."""
    return _leave(stop_lines(plan), inspected)


def act_at_least(plan: SequentialPlan, inspected: int) -> int | None:
    """Smallest total found that says "act" after ``inspected`` units; ``None`` when beyond ``inspected``."""
    return _act(stop_lines(plan), plan.kind, inspected)


def looks(plan: SequentialPlan) -> tuple[int, ...]:
    """The numbers inspected at which the plan looks at the total; the last is always the largest number."""
    regular = range(plan.first_look, plan.largest, plan.look_every)
    return (*regular, plan.largest)


def stop_table(plan: SequentialPlan) -> tuple[StopRow, ...]:
    """The stop table for printing, one row a look."""
    lines = stop_lines(plan)
    return tuple(StopRow(n, _leave(lines, n), _act(lines, plan.kind, n)) for n in looks(plan))


@lru_cache(maxsize=4096, typed=True)
def decide(plan: SequentialPlan, inspected: int, found: int) -> SequentialDecision:
    """Act, leave, keep looking or cannot tell, after ``inspected`` units with ``found`` in total.

    Judged at the number given, whether or not the plan looks there. The exact operating figures hold for a
    scout who looks, and stops, as planned. Raises ValueError for negative numbers, or more infested units
    than inspected.
    """
    whole_number(inspected, "inspected")
    whole_number(found, "found")
    if plan.kind == "presence" and found > inspected:
        raise ValueError(f"infested ({found}) cannot exceed inspected ({inspected})")
    lines = stop_lines(plan)
    if inspected >= plan.first_look:
        act, leave = _act(lines, plan.kind, inspected), _leave(lines, inspected)
        if act is not None and found >= act:
            return SequentialDecision("act", inspected, found, None, None, 0)
        if leave is not None and found <= leave:
            return SequentialDecision("leave", inspected, found, None, None, 0)
    if inspected >= plan.largest:
        return SequentialDecision("cannot tell", inspected, found, None, None, 0)
    return _keep_looking(plan, lines, inspected, found)


def _keep_looking(plan: SequentialPlan, lines: StopLines, inspected: int, found: int) -> SequentialDecision:
    """How far the next answer is, for a total between the lines."""
    ahead = [n for n in looks(plan) if n > inspected]
    clean = next(
        (n for n in ahead if (_leave(lines, n) or 0) >= found and _leave(lines, n) is not None), None
    )
    next_act = _act(lines, plan.kind, ahead[0])
    found_to_act = None if next_act is None else next_act - found
    first_answer = ahead[0]
    if plan.kind == "presence":
        if found_to_act is not None and found_to_act > ahead[0] - inspected:
            found_to_act = None
        acting = (n for n in ahead if (_act(lines, plan.kind, n) or math.inf) <= found + n - inspected)
        first_answer = min(clean or plan.largest, next(acting, plan.largest))
    to_leave = None if clean is None else clean - inspected
    return SequentialDecision(
        "keep looking", inspected, found, to_leave, found_to_act, first_answer - inspected
    )
