"""Pests over time and over bays, against numpy, statsmodels and a published survey."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

import factory
from bayround.crops import load_crops
from bayround.crops.organisms import DensityRelation
from bayround.facts.bay_past import BayPast
from bayround.figures import pressure
from bayround.week.bay_figures import all_figures

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")


def bay_with(
    infested: list[int], inspected: int = 20, organism: str = "thrips", **changes: object
) -> BayPast:
    """Return a bay visited weekly at which so many of *inspected* were infested."""
    past = factory.past(len(infested))
    visits = tuple(
        replace(visit, checks=(factory.check(organism, inspected, count, **changes),))
        for visit, count in zip(past.visits, infested, strict=True)
    )
    return replace(past, visits=visits)


def test_progress_is_the_area_under_the_curve() -> None:
    """Madden, Hughes & van den Bosch 2007: the trapezoid rule; numpy as second implementation."""
    counts = [0, 1, 3, 6, 10]
    figure = pressure.figures(bay_with(counts), PEPPER, CROPS.organisms)["progress_thrips"]
    days = np.arange(5) * 7.0
    assert figure.value == pytest.approx(np.trapezoid(np.array(counts) / 20 * 100, days))
    assert figure.n == 5


@pytest.mark.parametrize(
    ("counts", "word"),
    [
        ([1, 3, 6, 10], "rising"),
        ([12, 8, 3, 1], "falling"),
        ([2, 1, 3, 2], "no clear trend"),
        ([5, 0, 0, 0, 0], "none found"),
    ],
)
def test_trend_in_words(counts: list[int], word: str) -> None:
    figure = pressure.figures(bay_with(counts), PEPPER, CROPS.organisms)["change_thrips"]
    assert figure.says == word


def test_change_since_the_visit_before_is_newcombes() -> None:
    """Newcombe 1998, Stat. Med. 17:873-890, Table II (a), from memory: 56/70 - 48/80, 5.24 to 33.39 points."""
    past = bay_with([1, 1])
    visits = tuple(
        replace(visit, checks=(factory.check("thrips", n, x),))
        for visit, (x, n) in zip(past.visits, ((48, 80), (56, 70)), strict=True)
    )
    figure = pressure.figures(replace(past, visits=visits), PEPPER, CROPS.organisms)["change_thrips"]
    assert figure.value == pytest.approx(20.0)
    assert (figure.low, figure.high) == (pytest.approx(5.24, abs=0.005), pytest.approx(33.39, abs=0.005))


def test_several_checks_of_a_visit_are_added_and_severities_averaged() -> None:
    past = bay_with([1, 1])
    assert past.latest is not None
    checks = (
        factory.check("thrips", 10, 2, severity_percent=4.0),
        factory.check("thrips", 20, 3, severity_percent=8.0),
    )
    past = replace(past, visits=(past.visits[0], replace(past.latest, checks=checks)))
    (seen,) = pressure.history(past, "thrips")[-1:]
    assert (seen.inspected, seen.infested) == (30, 5)
    assert pressure.figures(past, PEPPER, CROPS.organisms)["severity_thrips"].value == pytest.approx(6.0)


def test_what_was_never_found_has_no_figures_over_time() -> None:
    assert pressure.figures(bay_with([0, 0, 0]), PEPPER, CROPS.organisms) == {}


def test_counted_individuals_give_the_density_with_garwoods_interval() -> None:
    """Garwood 1936: 5 counted, 95 % 1.6235 to 11.6683 (chi-square quantiles)."""
    figure = pressure.figures(bay_with([1, 2], counted=5), PEPPER, CROPS.organisms)["density_thrips"]
    assert figure.value == pytest.approx(5 / 20)
    assert figure.low == pytest.approx(1.6235 / 20, abs=5e-6)
    assert figure.high == pytest.approx(11.6683 / 20, abs=5e-6)


def test_a_published_line_is_used_only_for_what_it_was_fitted_for() -> None:
    """Kang et al. 2012: a leaf of cucumber counts from 6 aphids on; a check counts it from the first."""
    past = bay_with([2, 3], organism="aphids")
    cucumber = CROPS.profile("cucumber")
    figure = pressure.figures(past, cucumber, CROPS.organisms)["density_aphids"]
    assert figure.value is None
    assert "above 5 individuals" in figure.missing
    relation = DensityRelation(
        ("cucumber",), "leaf", 0, 3.3611, 1.7495, "aphids per leaf", "a paper", "published", ""
    )
    aphids = replace(CROPS.organisms["aphids"], density_relations=(relation,))
    assert past.latest is not None
    found = pressure.density_of(aphids, cucumber, past.latest)
    expected = np.exp(3.3611 + 1.7495 * np.log(-np.log(1 - 3 / 20)))  # Kono & Sugino 1958
    assert found.value == pytest.approx(expected)
    assert found.low is not None
    assert found.low < expected < (found.high or 0)


def test_incidence_over_bays_is_wider_than_if_plants_were_drawn_singly() -> None:
    """Korn & Graubard 1998: with all infested plants in one bay the interval must know it."""
    apart = [bay_with([k]) for k in (3, 3, 3, 3)]
    together = [bay_with([k]) for k in (12, 0, 0, 0)]
    even = pressure.over_bays(apart, "thrips", "Thrips", factory.FIRST_ROUND)
    clumped = pressure.over_bays(together, "thrips", "Thrips", factory.FIRST_ROUND)
    assert even.value == clumped.value == pytest.approx(15.0)
    assert even.high is not None
    assert clumped.high is not None
    assert clumped.high > even.high + 20


def test_bays_not_looked_at_lately_are_left_out() -> None:
    pasts = [bay_with([1]), bay_with([2])]
    later = factory.FIRST_ROUND + timedelta(days=1)
    assert pressure.over_bays(pasts, "thrips", "Thrips", later).missing


def test_the_newest_week_holds_them_and_earlier_weeks_do_without() -> None:
    past = bay_with([1, 3, 6, 10])
    day = past.visits[-1].day
    assert all_figures(past, CROPS, day)["change_thrips"].says == "rising"
    assert "change_thrips" not in all_figures(past, CROPS, day, coming=False)
