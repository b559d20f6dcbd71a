"""Quantiles against printed tables and scipy.stats; impossible input refused in words."""

import math

import pytest

from bayround.agronomy.distributions import (
    beta_quantile,
    chi_square_quantile,
    normal_quantile,
    t_quantile,
    two_sided_t,
    two_sided_z,
)
from bayround.agronomy.inputs import (
    counts_of,
    finite_number,
    finite_numbers,
    positive_number,
    same_length,
    share_between,
    whole_number,
)


def test_printed_tables() -> None:
    """Any statistical table: z 1.959964 and 1.644854, t(9) 2.262157, t(4) 2.776445, chi2(.95; 1) 3.841459."""
    assert two_sided_z(0.95) == pytest.approx(1.959964, abs=5e-7)
    assert two_sided_z(0.90) == pytest.approx(1.644853627, abs=5e-10)
    assert two_sided_t(0.95, 9) == pytest.approx(2.262157, abs=5e-7)
    assert two_sided_t(0.95, 4) == pytest.approx(2.776445, abs=5e-7)
    assert two_sided_t(0.95, 7) == pytest.approx(2.3646242516, abs=5e-11)
    assert t_quantile(0.95, 7) == pytest.approx(1.8945786051, abs=5e-11)
    assert chi_square_quantile(0.95, 1) == pytest.approx(3.841459, abs=5e-7)


@pytest.mark.parametrize("p", [0.001, 0.025, 0.3, 0.5, 0.9, 0.9999])
def test_quantiles_are_those_of_scipy(p: float) -> None:
    from scipy.stats import beta, chi2, norm, t

    assert normal_quantile(p) == pytest.approx(norm.ppf(p), abs=1e-12)
    for freedom in (1, 2.7, 30, 500):
        assert t_quantile(p, freedom) == pytest.approx(t.ppf(p, freedom), rel=1e-9, abs=1e-12)
        assert chi_square_quantile(p, freedom) == pytest.approx(chi2.ppf(p, freedom), rel=1e-9)
    assert beta_quantile(p, 3.5, 17.0) == pytest.approx(beta.ppf(p, 3.5, 17.0), rel=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: normal_quantile(0.0),
        lambda: normal_quantile(1.0),
        lambda: two_sided_z(95.0),
        lambda: t_quantile(0.5, 0.0),
        lambda: t_quantile(0.5, math.nan),
        lambda: beta_quantile(0.5, 0.0, 1.0),
        lambda: chi_square_quantile(1.5, 3.0),
        lambda: finite_numbers([1.0], "values", at_least=2),
        lambda: finite_number(math.inf, "value"),
        lambda: positive_number(0.0, "value"),
        lambda: positive_number(math.nan, "value"),
        lambda: share_between(math.nan, "share"),
        lambda: whole_number(2.5, "count"),  # type: ignore[arg-type]
        lambda: whole_number(-1, "count"),
        lambda: whole_number(math.inf, "count"),  # type: ignore[arg-type]
        lambda: counts_of(3, 2),
        lambda: same_length([1], [1, 2], "both"),
    ],
)
def test_impossible_input_is_refused_in_words(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=r"[a-z]{4,} "):
        call()
