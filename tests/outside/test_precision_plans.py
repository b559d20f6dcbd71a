"""Taylor's and Iwao's laws and the stop lines on them, against published coefficients and shipped data."""

import math
import random

import pytest

from bayround.agronomy.precision_plans import (
    IwaoFit,
    TaylorFit,
    common_k,
    green_stop_total,
    iwao_bounds,
    iwao_fit,
    iwao_largest,
    iwao_variance,
    kuno_stop_total,
    moment_k,
    taylor_fit,
    taylor_k,
    taylor_variance,
    units_for_precision,
    units_for_relative_half_width,
)
from bayround.agronomy.refusals import (
    EXPONENT_TOO_NEAR_TWO,
    MEANS_TOO_ALIKE,
    NOT_CLUMPED,
    TOO_FEW_INSPECTED,
    TOO_FEW_SETS,
    Refused,
)

# Beall 1942, insects on plots under six sprays (R data set InsectSprays).
SPRAYS = [
    [10, 7, 20, 14, 14, 12, 10, 23, 17, 20, 14, 13],
    [11, 17, 21, 11, 16, 14, 17, 17, 19, 21, 7, 13],
    [0, 1, 7, 2, 3, 1, 2, 1, 3, 0, 1, 4],
    [3, 5, 12, 6, 4, 3, 5, 5, 5, 5, 2, 4],
    [3, 5, 3, 5, 3, 6, 1, 1, 3, 2, 6, 4],
    [11, 9, 15, 22, 15, 16, 13, 10, 26, 26, 24, 13],
]
ONION_THRIPS = (2.586, 1.511)  # Soto-Rojas et al. 2021, Insects 12:331
TUTA = (1.83, 1.21)  # Rincon et al. 2021
WHITEFLY = (2.912058, 1.2617)  # Xu 1985/86, J. Appl. Ecol.: log10 a .4642
STRAWBERRY_MITE = (5.812437, 1.64)  # Raworth 1986, Can. Entomol.: ln a 1.76


def _means_and_variances() -> tuple[list[float], list[float]]:
    means = [sum(counts) / 12 for counts in SPRAYS]
    return means, [sum((x - m) ** 2 for x in counts) / 11 for counts, m in zip(SPRAYS, means, strict=True)]


def test_taylor_and_iwao_fits_of_the_sprays() -> None:
    """R 4.2.2 lm and statsmodels 0.15.0 on the six mean-variance pairs."""
    import numpy as np
    from statsmodels.api import OLS, add_constant

    means, variances = _means_and_variances()
    taylor, iwao = taylor_fit(means, variances), iwao_fit(means, variances)
    assert isinstance(taylor, TaylorFit)
    assert isinstance(iwao, IwaoFit)
    assert math.log(taylor.a) == pytest.approx(0.1642797001, abs=5e-11)
    assert (taylor.a, taylor.b) == (
        pytest.approx(1.1785439079, abs=5e-11),
        pytest.approx(1.0994216626, abs=5e-11),
    )
    assert taylor.b_standard_error == pytest.approx(0.1911846380, abs=5e-11)
    assert taylor.r_squared == pytest.approx(0.8920934631, abs=5e-11)
    assert (iwao.alpha, iwao.beta) == (
        pytest.approx(0.2365446394, abs=5e-11),
        pytest.approx(1.0285439914, abs=5e-11),
    )
    assert iwao.r_squared == pytest.approx(0.9949861528, abs=5e-11)
    line = OLS(np.log(variances), add_constant(np.log(means))).fit()
    assert taylor.log_a_standard_error == pytest.approx(line.bse[0], rel=1e-10)
    crowding = np.array(means) + np.array(variances) / np.array(means) - 1
    patch = OLS(crowding, add_constant(means)).fit()
    assert (iwao.alpha_standard_error, iwao.beta_standard_error) == tuple(
        pytest.approx(e, rel=1e-10) for e in patch.bse
    )


def test_fits_are_refused_for_too_few_or_equal_sets() -> None:
    means, variances = _means_and_variances()
    assert taylor_fit(means[:4], variances[:4]) == Refused(TOO_FEW_SETS)
    assert iwao_fit([1.0] * 6, variances) == Refused(MEANS_TOO_ALIKE)
    assert taylor_fit([*means[:4], 0.0], [*variances[:4], 0.0]) == Refused(TOO_FEW_SETS)
    for bad in ([-1.0, *variances[1:]], variances[1:]):
        with pytest.raises(ValueError):
            taylor_fit(means, bad)


def test_k_of_one_set_and_from_taylor() -> None:
    """Aphids on a 9 x 7 grid (Perry et al. 1999, package epiphy): mean 8.7936507937, variance 286.3599590374.

    k is 1/(patchiness - 1), and Lloyd's patchiness of that grid is 4.5894533925. From Taylor's law of Tuta:
    4.729458 at mean 9; sprays scattering as by chance have no k.
    """
    assert moment_k(8.7936507937, 286.3599590374) == pytest.approx(1 / 3.5894533925, abs=5e-11)
    assert taylor_k(9.0, *TUTA) == pytest.approx(4.729458, abs=5e-7)
    assert moment_k(3.5, 3.0) == Refused(NOT_CLUMPED)
    assert taylor_k(0.5, 1.0, 1.2) == Refused(NOT_CLUMPED)


def test_variance_equals_mean_where_raworth_says() -> None:
    """Raworth 1986 prints .0644 mites during harvest; his rounded coefficients give .0639 (a^(-1/(b-1)))."""
    a, b = STRAWBERRY_MITE
    mean = a ** (-1 / (b - 1))
    assert mean == pytest.approx(0.0639, abs=5e-5)
    assert taylor_variance(mean, a, b) == pytest.approx(mean, rel=1e-12)


def test_common_k_by_hand_and_by_simulation() -> None:
    """Bliss & Owen 1958 (from memory): two sets by hand give 205/186; 60 sets of 40 units with k = 1.5 give
    it back.

    By hand: x' 4 - 8/8 = 3 and 16 - 16/8 = 14, y' 8 - 2 = 6 and 16 - 4 = 12.
    """
    import numpy as np

    assert common_k([2.0, 4.0], [8.0, 16.0], [8, 8], fewest_sets=2) == pytest.approx(205 / 186, rel=1e-12)
    draw = np.random.default_rng(8)
    means, variances, units = [], [], []
    for mean in np.geomspace(0.5, 12.0, 60):
        counts = draw.negative_binomial(1.5, 1.5 / (1.5 + mean), 40)
        means.append(float(counts.mean()))
        variances.append(float(counts.var(ddof=1)))
        units.append(40)
    assert common_k(means, variances, units) == pytest.approx(1.5, rel=0.15)
    assert common_k([1.0, 2.0, 3.0], [0.9, 1.9, 2.9], [12] * 3) == Refused(NOT_CLUMPED)
    assert common_k([1.0, 2.0], [3.0, 4.0], [12] * 2) == Refused(TOO_FEW_SETS)


@pytest.mark.parametrize(
    ("coefficients", "units"),
    [
        (ONION_THRIPS, (58.070, 41.376, 29.481, 18.834, 13.420)),
        (TUTA, (50.627, 29.280, 16.934, 8.211, 4.749)),
        (WHITEFLY, (77.727, 46.593, 27.930, 14.199, 8.512)),
        (STRAWBERRY_MITE, (119.357, 92.999, 72.462, 52.101, 40.596)),
    ],
)
def test_units_for_a_quarter_precision(coefficients: tuple[float, float], units: tuple[float, ...]) -> None:
    """a m^(b-2)/D2 at means .5, 1, 2, 5, 10 (Southwood's form with the exponent b - 2; D = SE/mean = .25)."""
    for mean, wanted in zip((0.5, 1.0, 2.0, 5.0, 10.0), units, strict=True):
        assert units_for_precision(mean, *coefficients, 0.25) == pytest.approx(wanted, abs=5e-4)


def test_half_width_is_not_precision() -> None:
    """Trap: D is SE/mean, d half an interval/mean; onion thrips at 2: 29.4812 against 113.2507, 3.8415
    times."""
    assert units_for_precision(2.0, *ONION_THRIPS, 0.25) == pytest.approx(29.4812, abs=5e-5)
    assert units_for_relative_half_width(2.0, *ONION_THRIPS, 0.25) == pytest.approx(113.2507, abs=5e-5)
    assert units_for_precision(4.0, 1.0, 1.0, 0.25) == 4.0


def test_tomato_whitefly_sample_sizes_keep_n_times_d_squared() -> None:
    """Azam et al. 1997, J. Agric. Mar. Sci. 2: 149 and 37 leaflets for 10 and 20 %, 163 and 41."""
    for fine, coarse in ((149, 37), (163, 41)):
        assert units_for_precision(1.0, fine * 0.01, 1.0, 0.2) == pytest.approx(coarse, abs=0.5)


@pytest.mark.parametrize(
    ("coefficients", "precision", "n", "total"),
    [
        (ONION_THRIPS, 0.25, 5, 376.5457),
        (ONION_THRIPS, 0.25, 10, 182.4922),
        (ONION_THRIPS, 0.25, 20, 88.4446),
        (ONION_THRIPS, 0.25, 30, 57.8972),
        (ONION_THRIPS, 0.25, 100, 16.4534),
        (ONION_THRIPS, 0.10, 5, 15972.9138),
        (ONION_THRIPS, 0.10, 100, 697.9448),
        (TUTA, 0.25, 5, 46.8400),
        (TUTA, 0.25, 100, 21.1239),
    ],
)
def test_green_s_stop_line(coefficients: tuple[float, float], precision: float, n: int, total: float) -> None:
    """Green 1970; on the line SE/mean is exactly D, and the log form log T = log(D2/a)/(b-2) + ... gives
    the same."""
    a, b = coefficients
    found = green_stop_total(n, a, b, precision)
    assert found == pytest.approx(total, abs=5e-5)
    assert isinstance(found, float)
    mean = found / n
    assert math.sqrt(taylor_variance(mean, a, b) / n) / mean == pytest.approx(precision, rel=1e-12)
    log_form = math.log(precision**2 / a) / (b - 2) + (b - 1) / (b - 2) * math.log(n)
    assert math.log(found) == pytest.approx(log_form, rel=1e-12)


def test_green_is_refused_where_the_exponent_explodes() -> None:
    """Aphids on expanded eggplant leaves, b 1.888: ten million aphids on 30 leaves would be asked for."""
    absurd = green_stop_total(30, 7.806838, 1.888, 0.25, highest_b=2.0)
    assert absurd == pytest.approx(10_189_154, rel=1e-4)
    assert green_stop_total(30, 7.806838, 1.888, 0.25) == Refused(EXPONENT_TOO_NEAR_TWO)
    assert green_stop_total(30, 7.806838, 2.0, 0.25, highest_b=3.0) == Refused(EXPONENT_TOO_NEAR_TWO)


@pytest.mark.parametrize(
    ("n", "total"),
    [(5, 600.0), (10, 46.1538), (20, 31.5789), (30, 28.5714), (50, 26.5487), (100, 25.2101)],
)
def test_kuno_s_stop_line(n: int, total: float) -> None:
    """Kuno 1969 with alpha .5, beta 1.3, D .25; trap: alpha - 1 in place of alpha + 1 would be negative
    here."""
    found = kuno_stop_total(n, 0.5, 1.3, 0.25)
    assert found == pytest.approx(total, abs=5e-5)
    assert isinstance(found, float)
    mean = found / n
    assert math.sqrt(iwao_variance(mean, 0.5, 1.3) / n) / mean == pytest.approx(0.25, rel=1e-9)


def test_kuno_is_refused_where_no_count_suffices() -> None:
    """Defined only for n > (beta - 1)/D2 = 4.8."""
    assert kuno_stop_total(4, 0.5, 1.3, 0.25) == Refused(TOO_FEW_INSPECTED)


@pytest.mark.parametrize(
    ("n", "low", "high"),
    [(10, 16.0430, 43.9570), (20, 40.2618, 79.7382), (50, 118.7911, 181.2089), (100, 255.8639, 344.1361)],
)
def test_iwao_s_bounds_about_a_threshold_of_three(n: int, low: float, high: float) -> None:
    """alpha .5, beta 1.3: variance 7.2 at 3; curves, not parallel lines; z 1.644853627 (90 %)."""
    bounds = iwao_bounds(n, 3.0, iwao_variance(3.0, 0.5, 1.3))
    assert (bounds.low, bounds.high) == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


def test_iwao_s_bounds_with_taylor_and_where_to_give_up() -> None:
    """Onion thrips at 3: variance 13.600621, bounds 10.8174 and 49.1826 at n = 10; give up at 36.7971 (h =
    1)."""
    variance = taylor_variance(3.0, *ONION_THRIPS)
    assert variance == pytest.approx(13.600621, abs=5e-7)
    bounds = iwao_bounds(10, 3.0, variance)
    assert (bounds.low, bounds.high) == (pytest.approx(10.8174, abs=5e-5), pytest.approx(49.1826, abs=5e-5))
    assert iwao_largest(variance, 1.0) == pytest.approx(36.7971, abs=5e-5)
    assert iwao_largest(7.2, 0.5) == pytest.approx(77.9197, abs=5e-5)


def test_green_s_plan_reaches_its_precision_by_simulation() -> None:
    """Counts by Taylor's law of Tuta at mean 3, stopped on the line: mean within 2 D of the truth in about
    95 %."""
    draw = random.Random(2)
    a, b = TUTA
    k = taylor_k(3.0, a, b)
    assert isinstance(k, float)
    errors = []
    for _ in range(1500):
        total = n = 0
        while True:
            n += 1
            gap, mean = draw.expovariate(1.0), draw.gammavariate(k, 3.0 / k)
            while gap < mean:
                total, gap = total + 1, gap + draw.expovariate(1.0)
            stop = green_stop_total(n, a, b, 0.25)
            assert isinstance(stop, float)
            if total >= stop:
                break
        errors.append(total / n / 3.0 - 1.0)
    within = sum(abs(error) <= 0.5 for error in errors) / len(errors)
    assert 0.90 <= within <= 0.98
    assert (sum(e * e for e in errors) / len(errors)) ** 0.5 == pytest.approx(0.25, abs=0.06)


@pytest.mark.parametrize(
    "call",
    [
        lambda: green_stop_total(0, 1.0, 1.2, 0.25),
        lambda: green_stop_total(5, 0.0, 1.2, 0.25),
        lambda: green_stop_total(5, 1.0, 1.2, 0.0),
        lambda: kuno_stop_total(5, -1.0, 1.2, 0.25),
        lambda: units_for_precision(0.0, 1.0, 1.0, 0.25),
        lambda: iwao_bounds(5, 3.0, 0.0),
        lambda: iwao_variance(5.0, -0.5, 0.5),
        lambda: common_k([1.0, -1.0], [1.0, 1.0], [3, 3]),
        lambda: common_k([1.0, 1.0], [1.0, 1.0], [3, 1], fewest_sets=2),
    ],
)
def test_impossible_input_is_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError):
        call()
