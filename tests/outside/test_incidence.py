"""Shares, severity, disease progress and cards against Newcombe's table, scipy, statsmodels and R survey."""

import random
from itertools import pairwise

import pytest

from bayround.agronomy.incidence import (
    HORSFALL_BARRATT_MIDPOINTS,
    CardCatch,
    area_under_progress_curve,
    card_rate,
    clopper_pearson_interval,
    cluster_incidence,
    horsfall_barratt_percent,
    poisson_interval,
    severity_mean,
    upper_limit_when_none_found,
    wilson_interval,
)

# Newcombe 1998, Stat. Med. 17:857-872, Table I: methods 3 (Wilson) and 5 (Clopper-Pearson), four digits as
# printed; the full digits computed with scipy 1.17.1 binomtest and statsmodels 0.15.0.
NEWCOMBE = [
    (81, 263, (0.2553, 0.3662), (0.2552885198782742, 0.36620957698280004), (0.2527, 0.3676)),
    (0, 20, (0.0, 0.1611), (0.0, 0.16112515805281935), (0.0, 0.1684)),
    (1, 29, (0.0061, 0.1718), (0.006113214292762667, 0.17175521879320282), (0.0009, 0.1776)),
]
# binomtest's root finder stops at 2e-12, so the exact limits agree to that.
EXACT_FULL = {
    (81, 263): (0.25273674558504, 0.36762192260135),
    (0, 20): (0.0, 0.16843347098309),
    (1, 29): (0.00087264688360, 0.17764429548841),
}

# Schools meeting their target, of the schools of 15 districts: R package survey 4.1-1, data set apiclus1.
SCHOOLS = [13, 34, 4, 13, 16, 2, 1, 4, 12, 21, 9, 11, 37, 2, 4]
MEETING = [11, 31, 3, 10, 15, 2, 1, 4, 12, 18, 7, 11, 32, 1, 2]


@pytest.mark.parametrize(("k", "n", "printed", "full", "exact"), NEWCOMBE)
def test_wilson_and_exact_intervals_are_newcombe_s(
    k: int, n: int, printed: tuple[float, float], full: tuple[float, float], exact: tuple[float, float]
) -> None:
    wilson, clopper = wilson_interval(k, n), clopper_pearson_interval(k, n)
    assert (round(wilson.low, 4), round(wilson.high, 4)) == printed
    assert (wilson.low, wilson.high) == (pytest.approx(full[0], abs=1e-15), pytest.approx(full[1], abs=1e-15))
    assert (round(clopper.low, 4), round(clopper.high, 4)) == exact
    assert (clopper.low, clopper.high) == tuple(pytest.approx(limit, abs=1e-12) for limit in EXACT_FULL[k, n])


@pytest.mark.parametrize("n", [1, 7, 40])
@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_every_share_agrees_with_scipy(n: int, level: float) -> None:
    from scipy.stats import binomtest

    for k in range(n + 1):
        for ours, method in ((wilson_interval, "wilson"), (clopper_pearson_interval, "exact")):
            low, high = binomtest(k, n).proportion_ci(level, method)
            result = ours(k, n, level)
            assert (result.low, result.high) == (
                pytest.approx(low, abs=1e-12),
                pytest.approx(high, abs=1e-12),
            )


def test_the_plain_interval_would_claim_certainty() -> None:
    """Trap: ± z SE says exactly 0 after 20 clean plants and a negative limit at 1 of 29."""
    assert wilson_interval(0, 20).high > 0.16
    assert wilson_interval(1, 29).low > 0.0
    assert wilson_interval(20, 20).high == 1.0


def test_upper_limit_when_nothing_is_found() -> None:
    """0 of 60: exact one-sided .0487029 (rule of three .05); with design effect 1.9, .0905042."""
    assert upper_limit_when_none_found(60) == pytest.approx(0.0487029, abs=5e-8)
    assert upper_limit_when_none_found(60, design_effect=1.9) == pytest.approx(0.0905042, abs=5e-8)


def test_clustered_share_is_that_of_r_survey() -> None:
    """R survey 4.1-1 svyciprop(method = "beta"), Korn & Graubard 1998, apiclus1 with 757 districts.

    The upper limit agrees to 4e-10: put back into the beta distribution, ours misses the tail by 2e-16, R's
    by 1e-9.
    """
    result = cluster_incidence(MEETING, SCHOOLS, 757, never_above_inspected=False)
    assert result.share == pytest.approx(0.8743169399, abs=5e-11)
    assert result.standard_error == pytest.approx(0.0203594772, abs=5e-11)
    assert result.effective_n == pytest.approx(224.3548005187, abs=5e-8)
    assert (result.low, result.high) == (
        pytest.approx(0.8237022108, abs=5e-11),
        pytest.approx(0.9147044925, abs=5e-10),
    )
    assert result.design_effect == pytest.approx(183 / 265.1016273634, rel=1e-9)


def test_chance_likeness_never_makes_a_sample_larger_than_it_is() -> None:
    held = cluster_incidence(MEETING, SCHOOLS, 757)
    assert held.effective_n == 183.0
    assert held.low < 0.8237


def test_clustered_share_when_nothing_is_found_uses_the_assumed_design_effect() -> None:
    """0 of 60 in six bays, effect 1.9: Clopper-Pearson with 60/1.9; its one-sided twin is .0905042."""
    from scipy.stats import beta

    result = cluster_incidence([0] * 6, [10] * 6, design_effect_if_all_alike=1.9)
    assert (result.low, result.high) == (0.0, pytest.approx(beta.ppf(0.975, 1, 60 / 1.9), rel=1e-12))
    assert cluster_incidence([0] * 6, [10] * 6).high == pytest.approx(
        clopper_pearson_interval(0, 60).high, rel=1e-12
    )


def test_severity_keeps_within_0_and_100() -> None:
    """Mean of 0 0 1 2 40 by scipy's t interval, which reaches below 0."""
    from scipy.stats import sem, t

    percents = [0.0, 0.0, 1.0, 2.0, 40.0]
    low, high = t.interval(0.95, 4, loc=8.6, scale=sem(percents))
    result = severity_mean(percents)
    assert low < 0.0
    assert (result.mean, result.low, result.high) == (pytest.approx(8.6), 0.0, pytest.approx(high, rel=1e-12))


def test_horsfall_barratt_classes() -> None:
    """Horsfall & Barratt 1945: class limits 0, 3, 6, 12, 25, 50, 75, 87, 94, 97, 100; midpoints derived."""
    limits = [0, 0, 3, 6, 12, 25, 50, 75, 87, 94, 97, 100, 100]
    middles = [(low + high) / 2 for low, high in pairwise(limits)]
    assert list(HORSFALL_BARRATT_MIDPOINTS) == middles
    assert [horsfall_barratt_percent(grade) for grade in (1, 5, 6, 12)] == [0.0, 18.5, 37.5, 100.0]
    for grade in (0, 13, 2.5):
        with pytest.raises(ValueError):
            horsfall_barratt_percent(grade)  # type: ignore[arg-type]


def test_area_under_the_progress_curve() -> None:
    """Plant disease teaching exercise after Madden et al. 2007: 1, 2, 7, 7.5 at days 0, 2, 5, 6 give 23.75
    %-days.

    Trap: the step sum without averaging gives 15.0 or 32.5.
    """
    from numpy import trapezoid

    days, percents = [0.0, 2.0, 5.0, 6.0], [1.0, 2.0, 7.0, 7.5]
    assert area_under_progress_curve(days, percents) == 23.75
    assert trapezoid(percents, days) == 23.75
    for bad in ([0.0, 2.0, 2.0, 6.0], [0.0, 2.0, 5.0]):
        with pytest.raises(ValueError):
            area_under_progress_curve(bad, percents)


def test_exact_poisson_limits() -> None:
    """Garwood 1936: count 7 gives 2.8143630515 and 14.4226753617, count 0 gives 0 and 3.6888794541 (scipy
    chi2)."""
    assert poisson_interval(7) == (
        pytest.approx(2.8143630515, abs=5e-11),
        pytest.approx(14.4226753617, abs=5e-11),
    )
    assert poisson_interval(0) == (0.0, pytest.approx(3.6888794541, abs=5e-11))


def test_cards_per_card_and_day() -> None:
    """One card, 7 caught in 7 days on 250 cm2: 1 a day, limits Garwood's over 7 days, .4 per 100 cm2 and
    day."""
    one = card_rate([CardCatch(7, 7.0, 250.0)])
    assert one.per_card_per_day == 1.0
    assert (one.low, one.high) == (pytest.approx(2.8143630515 / 7), pytest.approx(14.4226753617 / 7))
    assert one.per_100_cm2_per_day == pytest.approx(0.4)
    two = card_rate([CardCatch(6, 7.0, 250.0), CardCatch(30, 14.0, 125.0)])
    assert two.per_card_per_day == pytest.approx(36 / 21)
    assert two.per_100_cm2_per_day == pytest.approx(100 * 36 / (7 * 250 + 14 * 125))


def test_crowded_catches_widen_the_interval_and_none_is_not_certain() -> None:
    crowded = card_rate([CardCatch(count, 7.0, 250.0) for count in (0, 1, 55, 2)])
    assert crowded.high * 28 > poisson_interval(58)[1]
    assert crowded.low == 0.0
    empty = card_rate([CardCatch(0, 7.0, 250.0)] * 4)
    assert (empty.low, empty.high) == (0.0, pytest.approx(3.6888794541 / 28))
    for bad in ([], [CardCatch(1, 0.0, 250.0)], [CardCatch(1, 7.0, 0.0)], [CardCatch(-1, 7.0, 250.0)]):
        with pytest.raises(ValueError):
            card_rate(bad)


@pytest.mark.parametrize(("k", "n"), [(3, 2), (-1, 5), (0, 0), (1.5, 4)])
def test_impossible_counts_are_refused(k: int, n: int) -> None:
    with pytest.raises(ValueError):
        wilson_interval(k, n)
    with pytest.raises(ValueError):
        clopper_pearson_interval(k, n)
    with pytest.raises(ValueError):
        cluster_incidence([k, 1], [n, 2])


def test_exact_coverage_of_both_intervals() -> None:
    """By enumeration, n = 40: Clopper-Pearson never below 95 %, Wilson 95 % on average (Brown, Cai &
    DasGupta 2001)."""
    from scipy.stats import binom

    shares = [0.02 + 0.01 * i for i in range(97)]
    covers = {}
    for ours in (wilson_interval, clopper_pearson_interval):
        limits = [ours(k, 40) for k in range(41)]
        covers[ours] = [
            sum(binom.pmf(k, 40, p) for k, one in enumerate(limits) if one.low <= p <= one.high)
            for p in shares
        ]
    assert min(covers[clopper_pearson_interval]) >= 0.95
    assert sum(covers[wilson_interval]) / len(shares) == pytest.approx(0.951, abs=0.004)


def test_clustered_interval_covers_by_simulation() -> None:
    """12 bays of 10, beta-binomial with correlation .25 and mean .2: adjusted covers at least 94 %, plain
    below 84 %."""
    draw = random.Random(19)
    adjusted = plain = 0
    for _ in range(800):
        shares = [draw.betavariate(0.2 * 3, 0.8 * 3) for _ in range(12)]
        found = [sum(draw.random() < p for _ in range(10)) for p in shares]
        clustered = cluster_incidence(found, [10] * 12, design_effect_if_all_alike=3.25)
        single = wilson_interval(sum(found), 120)
        adjusted += clustered.low <= 0.2 <= clustered.high
        plain += single.low <= 0.2 <= single.high
    assert 0.94 <= adjusted / 800 <= 0.985
    assert plain / 800 < 0.84
