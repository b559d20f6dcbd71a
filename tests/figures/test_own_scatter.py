"""The farm's own card counts: sets, lines and plans as numpy and the plans' own definitions have them."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

import factory
from bayround.agronomy.precision_plans import TaylorFit
from bayround.agronomy.refusals import TOO_FEW_SETS, Refused
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.rounds import CardCount
from bayround.figures import own_scatter

CROPS = load_crops()
PEPPER = CROPS.profile("sweet_pepper")
THRIPS = CROPS.organism("thrips")
COUNTS = [
    [1, 2, 0, 1, 3], [2, 4, 3, 5, 1], [6, 9, 3, 8, 5], [10, 14, 6, 12, 18], [22, 30, 15, 19, 40],
    [3, 6, 2, 5, 4], [8, 2, 5, 9, 12],
]  # fmt: skip


def bays(counts: list[list[int]], days: float = 7.0) -> list[BayPast]:
    """Return two bays: the first card of every week hangs in one, the others in the other."""
    first, second = factory.past(1), factory.past(1)
    visits: tuple[list[object], list[object]] = ([], [])
    for week, caught in enumerate(counts):
        day = factory.FIRST_ROUND + timedelta(weeks=week)
        for past, own, cards in ((first, visits[0], caught[:1]), (second, visits[1], caught[1:])):
            assert past.planting is not None
            hung = tuple(
                CardCount(factory.key(), "", str(place), "thrips", count, days)
                for place, count in enumerate(cards)
            )
            own.append(factory.record(past.planting, day, {}, cards=hung))
    return [
        replace(past, visits=tuple(own))  # type: ignore[arg-type]
        for past, own in zip((first, second), visits, strict=True)
    ]


def view(counts: list[list[int]], days: float = 7.0) -> own_scatter.OwnScatter:
    (found,) = own_scatter.views([THRIPS], PEPPER, bays(counts, days))
    return found


def test_a_set_is_a_weeks_cards_over_all_bays() -> None:
    sets = view(COUNTS).sets
    assert [one.cards for one in sets] == [5] * 7
    assert [one.mean for one in sets] == pytest.approx([np.mean(row) for row in COUNTS])
    assert [one.variance for one in sets] == pytest.approx([np.var(row, ddof=1) for row in COUNTS])


def test_taylors_line_is_numpys() -> None:
    """numpy.polyfit on the logarithms; a card that hung two weeks counts half."""
    fit = view([[2 * each for each in row] for row in COUNTS], days=14).taylor
    means, variances = np.mean(COUNTS, axis=1), np.var(COUNTS, axis=1, ddof=1)
    slope, intercept = np.polyfit(np.log(means), np.log(variances), 1)
    assert isinstance(fit, TaylorFit)
    assert (fit.a, fit.b) == pytest.approx((math.exp(intercept), slope))


def test_greens_totals_keep_their_promise() -> None:
    """Green 1970: at the total T of n cards the standard error √(a·m^b/n), m = T/n, is a quarter of the mean."""
    found = view(COUNTS)
    assert isinstance(found.taylor, TaylorFit)
    line = next(line for line in found.lines if line.startswith("Green"))
    total = float(line.split("10 cards ")[1].split(",")[0])
    mean = total / 10
    error = math.sqrt(found.taylor.a * mean**found.taylor.b / 10)
    assert error / mean == pytest.approx(0.25, rel=0.05)


def test_the_crops_own_threshold_is_cited() -> None:
    line = view(COUNTS).lines[-1]
    assert line.startswith("Below or above 4.0 per card and week (Park, Park & Uhm 2005")


def test_too_few_weeks_are_said() -> None:
    found = view(COUNTS[:3])
    assert found.taylor == Refused(TOO_FEW_SETS)
    assert any("Too few counted sets" in line for line in found.lines)
    assert own_scatter.views([CROPS.organism("whiteflies")], PEPPER, bays(COUNTS)) == ()
