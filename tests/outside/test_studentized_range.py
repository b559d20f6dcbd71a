"""The studentized range and the noncentral distributions against high-precision references and scipy."""

import json
from importlib.resources import files

import pytest

from bayround.agronomy.error_deviation import deviation_nodes, panel_nodes
from bayround.agronomy.noncentral import chance_f_below, chance_t_beyond
from bayround.agronomy.studentized_range import chance_range_above, studentized_range_quantile


def test_against_values_of_arbitrary_precision() -> None:
    """scipy's own reference file, worked out with mpmath: every case to 13 decimals."""
    text = (files("scipy") / "stats" / "tests" / "data" / "studentized_range_mpmath_ref.json").read_text()
    cases = json.loads(text)["cdf_data"]
    assert len(cases) > 60
    for case in cases:
        source = case["src_case"]
        found = 1 - chance_range_above(source["q"], source["k"], source["v"])
        assert found == pytest.approx(case["mp_result"], abs=1e-13), source


@pytest.mark.parametrize(
    ("groups", "degrees", "table"),
    [
        (2, 10, 3.1511),
        (3, 10, 3.8768),
        (4, 10, 4.3266),
        (5, 10, 4.6543),
        (3, 20, 3.5779),
        (5, 20, 4.2319),
        (10, 20, 5.0079),
        (3, 60, 3.3987),
    ],
)
def test_printed_table(groups: int, degrees: int, table: float) -> None:
    """Upper 5 % points of the studentized range (printed tables, and R's qtukey)."""
    assert round(studentized_range_quantile(0.95, groups, degrees), 4) == table


@pytest.mark.parametrize(("groups", "degrees", "expected"), [(3, 27, 3.5064261234), (6, 66, 4.1508507258)])
def test_quantiles_of_two_data_sets(groups: int, degrees: int, expected: float) -> None:
    """R's qtukey for PlantGrowth and InsectSprays, ten decimals."""
    assert studentized_range_quantile(0.95, groups, degrees) == pytest.approx(expected, abs=5e-11)


@pytest.mark.parametrize("degrees", [1, 4, 30, 10**7])
def test_two_groups_are_a_t_test(degrees: float) -> None:
    """scipy.stats.t: a range of two is sqrt(2) |t|."""
    from scipy.stats import t

    assert studentized_range_quantile(0.95, 2, degrees) == pytest.approx(
        2**0.5 * t.ppf(0.975, degrees), rel=1e-9
    )
    assert chance_range_above(3.0, 2, degrees) == pytest.approx(2 * t.sf(3 / 2**0.5, degrees), abs=1e-12)


@pytest.mark.parametrize("degrees", [1, 5.5, 15, 1000])
@pytest.mark.parametrize("noncentrality", [0.0, 1.0, 3.0])
def test_noncentral_t_agrees_with_scipy(degrees: float, noncentrality: float) -> None:
    """Second implementation: scipy.stats.nct, where it gives a number."""
    from scipy.stats import nct, t

    for critical in (0.5, 2.0, 6.0):
        expected = nct.sf(critical, degrees, noncentrality) + nct.cdf(-critical, degrees, noncentrality)
        if noncentrality == 0:
            expected = 2 * t.sf(critical, degrees)
        assert chance_t_beyond(critical, degrees, noncentrality) == pytest.approx(expected, abs=1e-11)


def test_noncentral_t_where_scipy_gives_nothing() -> None:
    """scipy 1.17's nct is not a number here; simulated instead (400,000 draws, ± .004)."""
    import numpy as np

    source = np.random.default_rng(8)
    drawn = (source.standard_normal(400_000) + 8) / np.sqrt(source.chisquare(5.5, 400_000) / 5.5)
    assert chance_t_beyond(6.0, 5.5, 8.0) == pytest.approx(float(np.mean(np.abs(drawn) > 6)), abs=0.004)


@pytest.mark.parametrize("noncentrality", [0.0, 0.5, 20.0, 1e6])
def test_noncentral_f_agrees_with_the_defining_sum(noncentrality: float) -> None:
    """Poisson mixture of beta distributions (scipy.special)."""
    import numpy as np
    from scipy.special import betainc
    from scipy.stats import poisson

    f = max(1.0, noncentrality / 3) * 1.2
    middle = noncentrality / 2
    terms = np.arange(max(0, int(middle - 12 * middle**0.5 - 20)), int(middle + 12 * middle**0.5 + 60))
    beta = betainc(1.5 + terms, 6, 3 * f / (3 * f + 12))
    expected = float(np.sum(poisson.pmf(terms, middle) * beta))
    assert chance_f_below(f, 3, 12, noncentrality) == pytest.approx(expected, abs=1e-9)


def test_noncentral_f_beyond_the_range_of_scipy_joins_on() -> None:
    just_below = chance_f_below(1.1e9 / 3, 3, 12, 0.999e9)
    just_above = chance_f_below(1.1e9 / 3 * 1.001 / 0.999, 3, 12, 1.001e9)
    assert just_below == pytest.approx(just_above, abs=1e-7)
    assert 0 < chance_f_below(1e15, 3, 12, 3e15) < 1


def test_weights_add_up_and_give_the_known_moment() -> None:
    """The mean of s² is 1, of any polynomial on a panel its integral."""
    for degrees in (1, 3, 40, 10**6):
        s, weights = deviation_nodes(degrees, (0.3, 1.0))
        assert weights.sum() == pytest.approx(1, abs=1e-12)
        assert (s**2 * weights).sum() == pytest.approx(1, abs=1e-9)
    nodes, weights = panel_nodes((0.0, 1.0, 3.0))
    assert (nodes**5 * weights).sum() == pytest.approx(3**6 / 6, rel=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: chance_range_above(-1, 3, 10),
        lambda: chance_range_above(1, 1, 10),
        lambda: chance_range_above(1, 3, 0.5),
        lambda: studentized_range_quantile(1.0, 3, 10),
        lambda: studentized_range_quantile(0.95, 1, 10),
        lambda: chance_t_beyond(0, 10, 1),
        lambda: chance_t_beyond(1, 10, -1),
        lambda: chance_f_below(-1, 3, 12, 0),
        lambda: chance_f_below(1, 0, 12, 0),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
