"""Share infested, severity and catches, each with an interval that holds at the ends as well.

The plain ± z·√(p(1-p)/n) interval is not offered: it says "exactly none" after twenty clean plants.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final

from bayround.agronomy.distributions import beta_quantile, chi_square_quantile, two_sided_t, two_sided_z
from bayround.agronomy.inputs import (
    counts_of,
    finite_numbers,
    positive_number,
    same_length,
    share_between,
    whole_number,
)
from bayround.agronomy.sampling import MeanEstimate, mean_interval, ratio_estimate

#: Midpoints in per cent of the twelve grades of Horsfall & Barratt 1945, Phytopathology 35:655, derived from
#: the classes 0, 0-3, 3-6, 6-12, 12-25, 25-50, 50-75, 75-87, 87-94, 94-97, 97-100, 100.
HORSFALL_BARRATT_MIDPOINTS: Final = (0.0, 1.5, 4.5, 9.0, 18.5, 37.5, 62.5, 81.0, 90.5, 95.5, 98.5, 100.0)


@dataclass(frozen=True, slots=True)
class ShareEstimate:
    """A share between 0 and 1 with its interval."""

    share: float
    low: float
    high: float
    infested: int
    inspected: int
    level: float


@dataclass(frozen=True, slots=True)
class ClusterShare:
    """A share from plants of several bays; ``effective_n`` plants drawn singly would tell as much."""

    share: float
    standard_error: float
    low: float
    high: float
    bays: int
    inspected: int
    design_effect: float
    effective_n: float
    level: float


@dataclass(frozen=True, slots=True)
class CardCatch:
    """One sticky card: what it caught, how long it hung (days), its counted area (cm², all counted faces)."""

    count: int
    days_hung: float
    area_cm2: float


@dataclass(frozen=True, slots=True)
class CardRate:
    """Catch per card and day, and per 100 cm² and day, each with its interval."""

    per_card_per_day: float
    low: float
    high: float
    per_100_cm2_per_day: float
    cards: int
    caught: int
    level: float


@lru_cache(maxsize=4096, typed=True)
def wilson_interval(infested: int, inspected: int, level: float = 0.95) -> ShareEstimate:
    """Share infested with Wilson's score interval.

    Wilson 1927; Newcombe 1998, Stat. Med. 17:857-872, method 3. Raises ValueError unless 0 <= infested <=
    inspected and inspected >= 1.
    """
    infested, inspected = counts_of(infested, inspected)
    z = two_sided_z(level)
    share, width = infested / inspected, inspected + z * z
    centre = (infested + z * z / 2.0) / width
    half = z * math.sqrt(inspected) / width * math.sqrt(share * (1.0 - share) + z * z / (4.0 * inspected))
    low = 0.0 if infested == 0 else centre - half
    high = 1.0 if infested == inspected else centre + half
    return ShareEstimate(share, low, high, infested, inspected, level)


def _beta_limits(successes: float, trials: float, level: float) -> tuple[float, float]:
    """Clopper-Pearson limits; neither number need be whole."""
    tail = (1.0 - share_between(level, "level")) / 2.0
    low = 0.0 if successes <= 0.0 else beta_quantile(tail, successes, trials - successes + 1.0)
    high = 1.0 if successes >= trials else beta_quantile(1.0 - tail, successes + 1.0, trials - successes)
    return low, high


@lru_cache(maxsize=4096, typed=True)
def clopper_pearson_interval(infested: int, inspected: int, level: float = 0.95) -> ShareEstimate:
    """Share infested with the exact interval, which holds at least its level (Clopper & Pearson 1934).

    Raises ValueError unless 0 <= infested <= inspected and inspected >= 1.
    """
    infested, inspected = counts_of(infested, inspected)
    low, high = _beta_limits(infested, inspected, level)
    return ShareEstimate(infested / inspected, low, high, infested, inspected, level)


def upper_limit_when_none_found(inspected: int, level: float = 0.95, design_effect: float = 1.0) -> float:
    """Largest share infested still compatible with finding none.

    1 - (1-C)^(1/n) with n = inspected / design effect, one-sided. Raises ValueError for no plant or a design
    effect below 1.
    """
    whole_number(inspected, "inspected", at_least=1)
    if not design_effect >= 1.0:
        raise ValueError(f"design effect must be at least 1, not {design_effect}")
    return -math.expm1(math.log1p(-share_between(level, "level")) * design_effect / inspected)


def cluster_incidence(
    infested_by_bay: Sequence[int],
    inspected_by_bay: Sequence[int],
    population_bays: int | None = None,
    level: float = 0.95,
    never_above_inspected: bool = True,
    design_effect_if_all_alike: float = 1.0,
) -> ClusterShare:
    """Share infested over bays with an interval that knows that plants of one bay are alike.

    Korn & Graubard 1998 (Survey Methodology 24:193-201): exact limits at the effective sample size p(1-p)/SE²
    · (t(n-1)/t(bays-1))², SE by the ratio estimator. Chance can make few bays look more alike than they are,
    so the effective size is held at the number inspected unless ``never_above_inspected`` is false. When all
    or no plants are infested the bays tell nothing of their likeness; ``design_effect_if_all_alike`` is then
    used. Raises ValueError for fewer than two bays, or infested beyond inspected in one.
    """
    same_length(infested_by_bay, inspected_by_bay, "infested and inspected")
    pairs = [counts_of(k, n) for k, n in zip(infested_by_bay, inspected_by_bay, strict=True)]
    ratio = ratio_estimate([k for k, _ in pairs], [n for _, n in pairs], population_bays, level)
    inspected, share = sum(n for _, n in pairs), ratio.ratio
    if not design_effect_if_all_alike >= 1.0:
        raise ValueError(f"design effect must be at least 1, not {design_effect_if_all_alike}")
    if 0.0 < share < 1.0:
        error = max(ratio.standard_error, 1e-12)
        plain = share * (1.0 - share) / error**2
        adjusted = plain * (two_sided_t(level, inspected - 1) / two_sided_t(level, len(pairs) - 1)) ** 2
        effective = min(adjusted, float(inspected)) if never_above_inspected else adjusted
        effect = inspected / plain
    else:
        effect = design_effect_if_all_alike
        effective = inspected / effect
    low, high = _beta_limits(share * effective, effective, level)
    return ClusterShare(
        share, ratio.standard_error, low, high, len(pairs), inspected, effect, effective, level
    )


def severity_mean(
    percents: Sequence[float], population: int | None = None, level: float = 0.95
) -> MeanEstimate:
    """Mean severity in per cent of area, limits kept within 0 and 100.

    Raises ValueError for a value outside 0 to 100, or as ``mean_interval`` does.
    """
    for percent in finite_numbers(percents, "percents"):
        if not 0.0 <= percent <= 100.0:
            raise ValueError(f"severity lies between 0 and 100 %, not {percent}")
    plain = mean_interval(percents, population, level)
    if plain.low is None or plain.high is None:
        return plain
    low, high = max(plain.low, 0.0), min(plain.high, 100.0)
    return MeanEstimate(
        plain.mean, plain.standard_deviation, plain.standard_error, low, high, plain.n, population, level
    )


def horsfall_barratt_percent(grade: int) -> float:
    """Midpoint in per cent of a Horsfall-Barratt grade 1 to 12, for importing old records only.

    Grading loses accuracy against the nearest per cent; keep the per cent. (A variant counts 0 to 11: ask
    first.) Raises ValueError outside 1 to 12.
    """
    if whole_number(grade, "grade", at_least=1) > len(HORSFALL_BARRATT_MIDPOINTS):
        raise ValueError(f"a Horsfall-Barratt grade lies between 1 and 12, not {grade}")
    return HORSFALL_BARRATT_MIDPOINTS[int(grade) - 1]


def area_under_progress_curve(days: Sequence[float], percents: Sequence[float]) -> float:
    """Area under the disease progress curve in %-days: Σ (y[i]+y[i+1])/2 · (t[i+1]-t[i]).

    Madden, Hughes & van den Bosch 2007, The Study of Plant Disease Epidemics. Raises ValueError for fewer
    than two dates, dates that do not rise, or a negative percent.
    """
    t, y = finite_numbers(days, "days", 2), finite_numbers(percents, "percents", 2)
    same_length(t, y, "days and percents")
    if min(y) < 0.0:
        raise ValueError("percents must not be negative")
    if any(later <= earlier for earlier, later in pairwise(t)):
        raise ValueError("days must rise from one reading to the next")
    return math.fsum((y[i] + y[i + 1]) / 2.0 * (t[i + 1] - t[i]) for i in range(len(t) - 1))


def poisson_interval(count: int, level: float = 0.95) -> tuple[float, float]:
    """Exact limits of a Poisson mean from one count k.

    χ²(alpha/2; 2k)/2 and χ²(1-alpha/2; 2k+2)/2 (Garwood 1936, Biometrika 28:437-442). Raises ValueError for a
    negative count.
    """
    whole_number(count, "count")
    tail = (1.0 - share_between(level, "level")) / 2.0
    low = 0.0 if count == 0 else chi_square_quantile(tail, 2 * count) / 2.0
    return low, chi_square_quantile(1.0 - tail, 2 * count + 2) / 2.0


def card_rate(cards: Sequence[CardCatch], level: float = 0.95) -> CardRate:
    """Catch per card and day over several cards: all caught / all days hung.

    The interval is the wider, on either side, of two: exact Poisson for the total, and with two cards or more
    the ratio estimator's t interval between cards, since insects do not land evenly. Per 100 cm²: caught /
    (days · area). Raises ValueError for no card, no days, no area or a negative count.
    """
    if not cards:
        raise ValueError("at least one card needed")
    counts = [whole_number(card.count, "count") for card in cards]
    days = [positive_number(card.days_hung, "days hung") for card in cards]
    exposure = math.fsum(
        d * positive_number(card.area_cm2, "area") for d, card in zip(days, cards, strict=True)
    )
    total_days, caught = math.fsum(days), sum(counts)
    low, high = (limit / total_days for limit in poisson_interval(caught, level))
    if len(cards) > 1:
        between = ratio_estimate(counts, days, level=level)
        low, high = max(0.0, min(low, between.low)), max(high, between.high)
    return CardRate(caught / total_days, low, high, 100.0 * caught / exposure, len(cards), caught, level)
