"""Sample sizes against published tables, R's pwr, scipy's hypergeometric distribution and a brute-force
search."""

import math
import random

import pytest

from bayround.agronomy.refusals import CENSUS_TOO_BLIND, TOO_MANY_PLANTS_NEEDED, Refused
from bayround.agronomy.sample_sizes import (
    chance_of_missing_all,
    plants_for_mean,
    plants_for_share,
    plants_to_find_one,
    plants_to_find_one_in_bay,
    plants_to_tell_apart,
    upper_standard_deviation,
)
from bayround.agronomy.sampling import mean_interval


@pytest.mark.parametrize(
    ("deviation", "half_width", "plants"),
    [(20.0, 5.0, 64), (20.0, 10.0, 18), (30.0, 10.0, 38)],
)
def test_plants_for_a_mean_by_student_s_t(deviation: float, half_width: float, plants: int) -> None:
    """Coefficients of variation 20 and 30 %, t iterated (computed with scipy 1.17.1); z alone would say
    61.5."""
    assert plants_for_mean(deviation, half_width) == plants


@pytest.mark.parametrize("population", [20, 64, 300, 2000])
def test_plants_in_a_bay_are_the_fewest_that_keep_the_promise(population: int) -> None:
    """Brute force with scipy's t: one plant fewer must break the promise.

    The shortcut n/(1+n/N) gives 53 of 300, whose half width is 5.002, not 5: it is not what is returned.
    """
    from scipy.stats import t

    def half_width(n: int) -> float:
        return float(t.ppf(0.975, n - 1) * 20.0 / math.sqrt(n) * math.sqrt(1 - n / population))

    plants = plants_for_mean(20.0, 5.0, population)
    assert isinstance(plants, int)
    assert half_width(plants) <= 5.0 < half_width(plants - 1)
    assert plants_for_mean(20.0, 5.0, 300) == 54


def test_a_bay_too_small_is_counted_out_and_a_hopeless_wish_refused() -> None:
    assert plants_for_mean(20.0, 0.001, 12) == 12
    assert plants_for_mean(20.0, 0.001, 1) == 1
    assert plants_for_mean(20.0, 0.001) == Refused(TOO_MANY_PLANTS_NEEDED)


@pytest.mark.parametrize(
    ("share", "half_width", "plants"),
    [(0.1, 0.05, 139), (0.1, 0.1, 35), (0.2, 0.05, 246), (0.2, 0.1, 62), (0.5, 0.05, 385), (0.5, 0.1, 97)],
)
def test_plants_for_a_share(share: float, half_width: float, plants: int) -> None:
    """z2 p(1-p)/h2, textbook values (Cochran 1977, ch. 4; 385 and 97 for p = .5 are in every survey text)."""
    assert plants_for_share(share, half_width) == plants


def test_plants_for_a_share_in_a_small_bay() -> None:
    """385 in 300: 384.146/(1 + 383.146/300) = 168.69, rounded up (Cochran's n0/(1+(n0-1)/N))."""
    assert plants_for_share(0.5, 0.05, population=300) == 169
    # 30 plants, +-.1: z sqrt(pq/n (N-n)/(N-1)) is .0910 for 24 and .1004 for 23
    assert plants_for_share(0.5, 0.1, population=30) == 24


@pytest.mark.parametrize(
    ("share", "plants"), [(0.005, 598), (0.01, 299), (0.02, 149), (0.05, 59), (0.1, 29), (0.2, 14)]
)
def test_plants_to_find_one(share: float, plants: int) -> None:
    """ln(.05)/ln(1-p), rounded up: the table used in plant health inspection."""
    assert plants_to_find_one(share) == plants
    assert 1 - (1 - share) ** plants >= 0.95 > 1 - (1 - share) ** (plants - 1)


def test_twenty_plants_find_a_fifth_infested_as_a_survey_says() -> None:
    """Sydney greenhouse whitefly survey 2007: 20 plants find one with > 95 % if > 20 % are infested."""
    assert pytest.approx(0.988471, abs=5e-7) == 1 - 0.8**20
    assert plants_to_find_one(0.2, level=0.988) == 20


@pytest.mark.parametrize(("infested", "plants"), [(3, 189), (6, 117), (15, 54), (30, 28)])
def test_plants_to_find_one_in_a_bay_of_300(infested: int, plants: int) -> None:
    """Exact hypergeometric, scipy.stats.hypergeom as second implementation."""
    from scipy.stats import hypergeom

    assert plants_to_find_one_in_bay(300, infested) == plants
    assert hypergeom.pmf(0, 300, infested, plants) <= 0.05 < hypergeom.pmf(0, 300, infested, plants - 1)
    assert chance_of_missing_all(300, infested, plants) == pytest.approx(
        hypergeom.pmf(0, 300, infested, plants), rel=1e-9
    )


def test_overlooking_half_costs_plants_and_may_make_it_impossible() -> None:
    """Chance of missing all by scipy's hypergeometric weights; one infested plant seen half the time: never
    95 %."""
    from scipy.stats import hypergeom

    direct = sum(hypergeom.pmf(j, 300, 6, 100) * 0.5**j for j in range(7))
    assert chance_of_missing_all(300, 6, 100, 0.5) == pytest.approx(direct, rel=1e-10)
    blind = plants_to_find_one_in_bay(300, 15, seen_when_there=0.5)
    assert isinstance(blind, int)
    assert blind > 54
    assert plants_to_find_one_in_bay(300, 1, seen_when_there=0.5) == Refused(CENSUS_TOO_BLIND)
    assert plants_to_find_one(0.1, seen_when_there=0.5) == plants_to_find_one(0.05)


@pytest.mark.parametrize(
    ("effect", "power", "exact"),
    [
        (0.2, 0.8, 393.4057),
        (0.5, 0.8, 63.7656106),
        (0.8, 0.8, 25.5245719),
        (1.0, 0.8, 16.7147224),
        (0.5, 0.9, 85.03),
    ],
)
def test_plants_to_tell_two_bays_apart(effect: float, power: float, exact: float) -> None:
    """R pwr 63.76561; the rest statsmodels 0.15.0 TTestIndPower: rounded up to whole plants."""
    assert plants_to_tell_apart(effect * 4.0, 4.0, power) == math.ceil(exact)
    assert plants_to_tell_apart(-effect * 4.0, 4.0, power) == math.ceil(exact)


def test_a_difference_of_nothing_is_an_impossible_wish() -> None:
    with pytest.raises(ValueError):
        plants_to_tell_apart(0.0, 4.0)
    assert plants_to_tell_apart(0.0001, 4.0) == Refused(TOO_MANY_PLANTS_NEEDED)


def test_upper_standard_deviation_against_scipy() -> None:
    from scipy.stats import chi2

    assert upper_standard_deviation(3.0, 8, 0.8) == pytest.approx(
        3.0 * math.sqrt(7 / chi2.ppf(0.2, 7)), rel=1e-12
    )


def test_upper_standard_deviation_keeps_the_promise_by_simulation() -> None:
    """Planned with the upper SD of ten plants, about 80 % of bays get enough plants; with the SD itself,
    about half.

    Enough means: no fewer than the true standard deviation asks for.
    """
    draw = random.Random(3)
    needed = plants_for_mean(10.0, 4.0)
    assert isinstance(needed, int)
    safe = plain = 0
    for _ in range(600):
        deviation = mean_interval([draw.gauss(0.0, 10.0) for _ in range(10)]).standard_deviation
        assert deviation is not None
        assured, hoped = (
            plants_for_mean(planned, 4.0) for planned in (upper_standard_deviation(deviation, 10), deviation)
        )
        assert isinstance(assured, int)
        assert isinstance(hoped, int)
        safe += assured >= needed
        plain += hoped >= needed
    assert 0.75 <= safe / 600 <= 0.86
    assert plain / 600 < 0.55


@pytest.mark.parametrize(
    "call",
    [
        lambda: plants_for_mean(0.0, 1.0),
        lambda: plants_for_mean(1.0, 0.0),
        lambda: plants_for_share(0.0, 0.1),
        lambda: plants_to_find_one(1.0),
        lambda: plants_to_find_one(0.1, seen_when_there=0.0),
        lambda: plants_to_find_one_in_bay(10, 11),
        lambda: plants_to_find_one_in_bay(10, 0),
        lambda: chance_of_missing_all(10, 2, 11),
        lambda: upper_standard_deviation(1.0, 1),
    ],
)
def test_impossible_input_is_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError):
        call()
