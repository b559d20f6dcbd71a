"""Budgets whatever the amounts: nothing is lost to rounding."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from bayround.agronomy.budget import MoneyLine, break_even_yield, partial_budget, sensitivity_grid, total

CENTS = st.integers(0, 10**9).map(lambda cents: Decimal(cents).scaleb(-2))
LINES = st.lists(CENTS.map(lambda amount: MoneyLine("line", amount)), max_size=10)


@given(LINES)
def test_total_is_exact_to_the_cent(lines: list[MoneyLine]) -> None:
    """Against exact fractions (standard library)."""
    assert Fraction(total(lines)) == sum((Fraction(line.amount) for line in lines), Fraction(0))


@given(LINES, LINES, LINES, LINES)
def test_a_change_undone_costs_what_it_brought(
    one: list[MoneyLine], two: list[MoneyLine], three: list[MoneyLine], four: list[MoneyLine]
) -> None:
    there = partial_budget(added_returns=one, reduced_costs=two, added_costs=three, lost_returns=four)
    back = partial_budget(added_returns=four, reduced_costs=three, added_costs=two, lost_returns=one)
    assert there.net_change == -back.net_change


@given(CENTS, CENTS, CENTS)
def test_break_even_is_where_the_margin_turns(fixed: Decimal, price: Decimal, rising: Decimal) -> None:
    found = break_even_yield(fixed, price, rising)
    if price <= rising:
        assert found is None
    else:
        assert found is not None
        margin = sensitivity_grid([price], [found], cost_per_m2=fixed, cost_per_kg=rising)[0][0].margin_per_m2
        assert abs(margin) <= fixed * Decimal("1e-24")
