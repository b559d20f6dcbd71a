"""How many plants? For a wanted precision, for telling two bays apart, for finding something rare.

Every size is the smallest whole number that meets the request, found by trying, not by a rounded shortcut.
"""

import math
from collections.abc import Callable

from bayround.agronomy.distributions import chi_square_quantile, two_sided_t, two_sided_z
from bayround.agronomy.inputs import positive_number, share_between, whole_number
from bayround.agronomy.power import power_of_t_test
from bayround.agronomy.refusals import CENSUS_TOO_BLIND, TOO_MANY_PLANTS_NEEDED, Refused

_MOST_PLANTS = 1_000_000


def _smallest(meets: Callable[[int], bool], lowest: int, highest: int) -> int | None:
    """Smallest whole number in ``lowest`` to ``highest`` meeting a request that, once met, stays met."""
    if lowest > highest or not meets(highest):
        return None
    while lowest < highest:
        middle = (lowest + highest) // 2
        if meets(middle):
            highest = middle
        else:
            lowest = middle + 1
    return lowest


def plants_for_mean(
    standard_deviation: float, half_width: float, population: int | None = None, level: float = 0.95
) -> int | Refused:
    """Smallest number of plants whose interval for the mean is no wider than ± ``half_width``.

    Standard deviation and half width in the unit of the reading. Uses Student's t for the number found and,
    with ``population`` plants in the bay, the finite-population correction; a bay too small for the precision
    is counted out. The shortcut n/(1+n/N) from the normal quantile gives too few. Raises ValueError on
    impossible input.
    """
    positive_number(standard_deviation, "standard deviation")
    positive_number(half_width, "half width")
    if population is not None and whole_number(population, "population", at_least=1) == 1:
        return 1

    def precise(n: int) -> bool:
        left = 1.0 if population is None else 1.0 - n / population
        return two_sided_t(level, n - 1) * standard_deviation * math.sqrt(left / n) <= half_width

    found = _smallest(precise, 2, population or _MOST_PLANTS)
    return Refused(TOO_MANY_PLANTS_NEEDED) if found is None else found


def upper_standard_deviation(standard_deviation: float, n: int, assurance: float = 0.8) -> float:
    """Standard deviation not exceeded with probability ``assurance``: s·√((n-1)/χ²).

    The spread of a handful of plants is itself uncertain; planning with this one keeps the promise of
    precision in ``assurance`` of all cases rather than in half of them. Raises ValueError for n < 2 or
    impossible input.
    """
    positive_number(standard_deviation, "standard deviation")
    freedom = whole_number(n, "n", at_least=2) - 1
    quantile = chi_square_quantile(1.0 - share_between(assurance, "assurance"), freedom)
    return standard_deviation * math.sqrt(freedom / quantile)


def plants_for_share(
    expected_share: float, half_width: float, population: int | None = None, level: float = 0.95
) -> int:
    """Plants to look at so that a share near ``expected_share`` is known to ± ``half_width`` (both 0 to 1).

    n0 = z²·p(1-p)/h², in a bay of N plants n0/(1+(n0-1)/N), rounded up (Cochran 1977, ch. 4; from memory).
    Raises ValueError on impossible input.
    """
    share_between(expected_share, "expected share")
    share_between(half_width, "half width")
    wanted = two_sided_z(level) ** 2 * expected_share * (1.0 - expected_share) / half_width**2
    if population is not None:
        wanted /= 1.0 + (wanted - 1.0) / whole_number(population, "population", at_least=1)
    return max(1, math.ceil(wanted - 1e-9))


def plants_to_find_one(infested_share: float, level: float = 0.95, seen_when_there: float = 1.0) -> int:
    """Plants to look at, drawn from very many, to see at least one infested with this probability.

    n = ln(1-C)/ln(1-p·s), rounded up; s is the chance that an infested plant is recognised. Raises ValueError
    on impossible input.
    """
    share_between(infested_share, "infested share")
    share_between(level, "level")
    if not 0.0 < seen_when_there <= 1.0:
        raise ValueError(f"chance of seeing it must be above 0 and at most 1, not {seen_when_there}")
    return math.ceil(math.log1p(-level) / math.log1p(-infested_share * seen_when_there) - 1e-9)


def chance_of_missing_all(
    population: int, infested: int, inspected: int, seen_when_there: float = 1.0
) -> float:
    """Chance that ``inspected`` of ``population`` plants show none although ``infested`` are infested.

    Hypergeometric, exact in whole numbers; ``seen_when_there`` is the chance that an infested plant is
    recognised. Raises ValueError on impossible input.
    """
    whole_number(population, "population", at_least=1)
    if not (0 <= infested <= population and 0 <= inspected <= population):
        raise ValueError("infested and inspected must lie between 0 and the population")
    if not 0.0 < seen_when_there <= 1.0:
        raise ValueError(f"chance of seeing it must be above 0 and at most 1, not {seen_when_there}")
    ways = math.comb(population, inspected)
    fewest = max(0, inspected - (population - infested))
    if seen_when_there == 1.0:
        return math.comb(population - infested, inspected) / ways
    return math.fsum(
        math.comb(infested, hit)
        * math.comb(population - infested, inspected - hit)
        / ways
        * (1.0 - seen_when_there) ** hit
        for hit in range(fewest, min(infested, inspected) + 1)
    )


def plants_to_find_one_in_bay(
    population: int, infested: int, level: float = 0.95, seen_when_there: float = 1.0
) -> int | Refused:
    """Plants of a bay to look at, to see at least one of its ``infested`` with this probability.

    Exact hypergeometric. Refused when even every plant would not do, because too much is overlooked. Raises
    ValueError on impossible input.
    """
    share_between(level, "level")
    whole_number(infested, "infested", at_least=1)
    chance_of_missing_all(population, infested, 0, seen_when_there)
    found = _smallest(
        lambda n: (
            chance_of_missing_all(population, infested, n, seen_when_there) <= (1.0 - level) * (1.0 + 1e-12)
        ),
        1,
        population,
    )
    return Refused(CENSUS_TOO_BLIND) if found is None else found


def plants_to_tell_apart(
    difference: float, standard_deviation: float, power: float = 0.8, level: float = 0.95
) -> int | Refused:
    """Plants needed in each of two bays to tell this difference from zero with probability ``power``.

    Difference and standard deviation in the unit of the reading; large bays assumed. Refused above a million.
    Raises ValueError on impossible input.
    """
    effect = abs(difference) / positive_number(standard_deviation, "standard deviation")
    positive_number(effect, "difference")
    share_between(power, "power")
    share_between(level, "level")
    highest = 2
    while highest <= _MOST_PLANTS and power_of_t_test(effect, 1.0, highest, alpha=1.0 - level) < power:
        highest *= 2
    if highest > _MOST_PLANTS:
        return Refused(TOO_MANY_PLANTS_NEEDED)
    return (
        _smallest(lambda n: power_of_t_test(effect, 1.0, n, alpha=1.0 - level) >= power, 2, highest)
        or highest
    )
