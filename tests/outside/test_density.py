"""Density from incidence against published relations, round trips, and refusals where a relation breaks
down."""

import math

import pytest

from bayround.agronomy.density import (
    DensityEstimate,
    EmpiricalLine,
    NegativeBinomialRelation,
    PoissonRelation,
    Relation,
    WilsonRoomRelation,
    density_from_incidence,
)
from bayround.agronomy.incidence import wilson_interval
from bayround.agronomy.refusals import CROWDING_TOO_STRONG, NOTHING_FOUND, TOO_MANY_INFESTED, Refused

# Kang et al. 2012, Hortic. Sci. Technol. 30:596-602, cotton aphid on greenhouse cucumber, more than 5 a leaf:
# 15 % and 96 % of leaves belong to 1.2 and 222.8 aphids a leaf. The two printed points fix the line (solved for).
COTTON_APHID = EmpiricalLine(3.3610690620, 1.7494860177)
ONION_THRIPS = WilsonRoomRelation(2.586, 1.511)  # Soto-Rojas et al. 2021, Insects 12:331


@pytest.mark.parametrize(("share", "density"), [(0.15, 1.2), (0.96, 222.8)])
def test_cotton_aphid_line_gives_the_printed_densities(share: float, density: float) -> None:
    assert COTTON_APHID.density(share) == pytest.approx(density, rel=1e-8)


@pytest.mark.parametrize(
    ("share", "density"), [(0.3, 4.7468), (0.5, 15.1782), (0.7, 39.8778), (0.9, 123.9895)]
)
def test_cotton_aphid_line_between_the_points(share: float, density: float) -> None:
    assert COTTON_APHID.density(share) == pytest.approx(density, abs=5e-5)


@pytest.mark.parametrize(
    ("density", "negative_binomial", "poisson"),
    [
        (0.1, 0.090909, 0.095163),
        (0.5, 0.333333, 0.393469),
        (1.0, 0.5, 0.632121),
        (2.0, 0.666667, 0.864665),
        (5.0, 0.833333, 0.993262),
    ],
)
def test_share_infested_from_density(density: float, negative_binomial: float, poisson: float) -> None:
    """Zero terms of the two distributions, k = 1: 1 - 1/(1+m) and 1 - exp(-m); scipy as second
    implementation."""
    from scipy.stats import nbinom

    assert NegativeBinomialRelation(1.0).incidence(density) == pytest.approx(negative_binomial, abs=5e-7)
    assert PoissonRelation().incidence(density) == pytest.approx(poisson, abs=5e-7)
    k = 2.63
    expected = 1 - nbinom.pmf(0, k, k / (k + density))
    assert NegativeBinomialRelation(k).incidence(density) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("density", "share"),
    [(0.1, 0.105735), (0.5, 0.306311), (1.0, 0.450673), (2.0, 0.621485), (5.0, 0.836996), (10.0, 0.943801)],
)
def test_wilson_room_with_onion_thrips(density: float, share: float) -> None:
    """Wilson & Room 1983 with Taylor's a 2.586 and b 1.511 of onion thrips (Soto-Rojas et al. 2021)."""
    assert ONION_THRIPS.incidence(density) == pytest.approx(share, abs=5e-7)
    assert ONION_THRIPS.density(ONION_THRIPS.incidence(density)) == pytest.approx(density, rel=1e-9)


def test_wilson_room_where_variance_equals_mean_is_poisson() -> None:
    """At q = 1 the formula is 0/0; its limit is the Poisson share."""
    assert WilsonRoomRelation(1.0, 1.0).incidence(1.3) == pytest.approx(1 - math.exp(-1.3), rel=1e-12)
    mean = 2.586 ** (-1 / 0.511)
    assert ONION_THRIPS.incidence(mean) == pytest.approx(1 - math.exp(-mean), rel=1e-9)


@pytest.mark.parametrize(
    "relation", [PoissonRelation(), NegativeBinomialRelation(0.39), COTTON_APHID, ONION_THRIPS]
)
def test_estimate_carries_wilson_s_limits_through_the_relation(relation: Relation) -> None:
    result = density_from_incidence(18, 60, relation)
    share = wilson_interval(18, 60)
    assert isinstance(result, DensityEstimate)
    assert relation.incidence(result.density) == pytest.approx(0.3, rel=1e-9)
    assert relation.incidence(result.low) == pytest.approx(share.low, rel=1e-9)
    assert relation.incidence(result.high) == pytest.approx(share.high, rel=1e-9)
    assert result.low < result.density < result.high


def test_refused_where_the_relation_breaks_down() -> None:
    """Nothing found, nearly all infested, or crowding so strong (aphids on eggplant, b 1.888) that p hardly
    moves."""
    assert density_from_incidence(0, 60, PoissonRelation()) == Refused(NOTHING_FOUND)
    for infested in (58, 60):
        assert density_from_incidence(infested, 60, PoissonRelation()) == Refused(TOO_MANY_INFESTED)
    assert isinstance(
        density_from_incidence(58, 60, PoissonRelation(), highest_incidence=0.97), DensityEstimate
    )
    assert density_from_incidence(50, 60, WilsonRoomRelation(7.806838, 2.1)) == Refused(CROWDING_TOO_STRONG)
    assert density_from_incidence(56, 60, WilsonRoomRelation(40.0, 1.95)) == Refused(CROWDING_TOO_STRONG)
    with pytest.raises(ValueError):
        WilsonRoomRelation(7.8, 2.1).density(0.5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: density_from_incidence(5, 4, PoissonRelation()),
        lambda: density_from_incidence(2, 4, NegativeBinomialRelation(0.0)),
        lambda: PoissonRelation().density(1.0),
        lambda: PoissonRelation().incidence(0.0),
        lambda: EmpiricalLine(1.0, 0.0).density(0.5),
    ],
)
def test_impossible_input_is_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError):
        call()
