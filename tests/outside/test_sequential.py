"""Stop lines against published plans: Wald's own, NIST's, and five printed in pest journals."""

import math

import pytest

from bayround.agronomy.sequential import (
    PlanKind,
    SequentialPlan,
    StopRow,
    act_at_least,
    decide,
    leave_at_most,
    looks,
    stop_lines,
    stop_table,
)

S1 = SequentialPlan("presence", 0.10, 0.25, 0.10, 0.10, largest=60)


def _plan(
    kind: PlanKind, low: float, high: float, needless: float, missed: float, k: float | None = None
) -> SequentialPlan:
    return SequentialPlan(kind, low, high, needless, missed, largest=60, k=k)


# kind, leave level, act level, needless, missed, k, lower, upper, slope, digits printed or computed, source
PUBLISHED = [
    # intercepts exactly 2 because ln 9 / ln 3 = 2; made example
    ("presence", 0.10, 0.25, 0.10, 0.10, None, -2.0, 2.0, 0.1659562329, 5e-11),
    # NIST/SEMATECH e-Handbook 6.2.6 prints 0.939, 1.205, 0.0397 (from memory); so does package reliability
    ("presence", 0.01, 0.10, 0.05, 0.10, None, -0.9388616026, 1.2053786463, 0.0397474322, 5e-11),
    # Wald 1947, Sequential Analysis (from memory), lot inspection
    ("presence", 0.10, 0.30, 0.02, 0.03, None, -2.5826255205, 2.8753885298, 0.1861689417, 5e-11),
    # test file of package mistat 0.1.17: h 1.783772, s 0.02498542, cross-checked there with R package Dodge
    ("presence", 0.01, 0.05, 0.05, 0.05, None, -1.783772, 1.783772, 0.02498542, 5e-7),
    # western flower thrips in pepper greenhouses, bounds .32 and .55 (Eom et al. 2024)
    ("presence", 0.32, 0.55, 0.10, 0.10, None, -2.3021026225, 2.3021026225, 0.4325511661, 5e-11),
    # fall armyworm in maize, S = -+1.7095 + 0.1452 N (Neotrop. Entomol. 2001, 30:691-695)
    ("presence", 0.10, 0.20, 0.20, 0.20, None, -1.7095, 1.7095, 0.1452, 5e-5),
    # boll weevil, late phase, S = -+4.2479 + 0.5771 N (J. Econ. Entomol. 2017, 110:763-769)
    ("poisson", 0.4, 0.8, 0.05, 0.05, None, -4.2479, 4.2479, 0.5771, 5e-5),
    # the same, early phase, S = -+5.1743 + 0.5730 N; k solved from the intercept, so the slope is the check
    ("negative binomial", 0.4, 0.8, 0.05, 0.05, 2.6274337, -5.1743, 5.1743, 0.5730, 5e-5),
    # cotton leafworm, S = -+4.8784 + 1.4227 n (Neotrop. Entomol. 2003); k solved from the intercept
    ("negative binomial", 1.0, 2.0, 0.10, 0.10, 2.6396979, -4.8784, 4.8784, 1.4227, 5e-5),
    # example of R package sequential.pops 0.1.1: intercepts 5.128255, slope 2.841808
    ("negative binomial", 2.0, 4.0, 0.10, 0.10, 4.6, -5.128255, 5.128255, 2.841808, 5e-7),
    # mango scale, thesis USP 2005: pairs .35/.50 and .05/.15
    ("presence", 0.35, 0.50, 0.10, 0.10, None, -3.549411, 3.549411, 0.423825, 5e-7),
    ("presence", 0.05, 0.15, 0.20, 0.20, None, -1.145851, 1.145851, 0.091934, 5e-7),
    # equal risks, and unequal ones where the upper intercept is exactly 4 (computed from Wald 1945)
    ("poisson", 1.0, 2.0, 0.10, 0.10, None, -3.1699250014, 3.1699250014, 1.4426950409, 5e-11),
    ("poisson", 1.0, 2.0, 0.05, 0.20, None, -2.2479275134, 4.0, 1.4426950409, 5e-11),
]


@pytest.mark.parametrize("row", PUBLISHED)
def test_stop_lines_are_the_published_ones(
    row: tuple[PlanKind, float, float, float, float, float | None, float, float, float, float],
) -> None:
    kind, low, high, needless, missed, k, lower, upper, slope, digits = row
    lines = stop_lines(_plan(kind, low, high, needless, missed, k))
    assert lines.lower == pytest.approx(lower, abs=digits)
    assert lines.upper == pytest.approx(upper, abs=digits)
    assert lines.slope == pytest.approx(slope, abs=digits)


def test_unequal_risks_are_not_mixed_up() -> None:
    """Trap: R package sequential.pops 0.1.1 uses ln((1-a)/b) above and gets 2.2479 instead of 4 here."""
    assert stop_lines(_plan("poisson", 1.0, 2.0, 0.05, 0.20)).upper > 3.9


def test_decision_table_of_the_made_plan() -> None:
    """Lines 2 apart and slope .166: leave at 0 from n = 13, 1 from 19; act at 3 up to n = 6, 4 from 7, 5
    from 13."""
    leave = [None] * 12 + [value for value in range(8) for _ in range(6)]
    act = [value for value in range(3, 13) for _ in range(6)]
    for n in range(1, 61):
        assert leave_at_most(S1, n) == leave[n - 1]
        assert act_at_least(S1, n) == (act[n - 1] if act[n - 1] <= n else None)


def test_nist_plan_in_whole_numbers() -> None:
    """NIST e-Handbook 6.2.6 / package reliability: first "leave" at n = 24, one allowed from 49; act at 2,
    3, 4."""
    plan = SequentialPlan("presence", 0.01, 0.10, 0.05, 0.10, largest=80)
    assert next(n for n in looks(plan) if leave_at_most(plan, n) is not None) == 24
    assert next(n for n in looks(plan) if (leave_at_most(plan, n) or 0) >= 1) == 49
    assert [act_at_least(plan, n) for n in (1, 2, 19, 20, 45, 46)] == [None, 2, 2, 3, 3, 4]


def test_counts_of_the_package_example_cross_upwards_at_the_fifth() -> None:
    """sequential.pops: counts 2, 5, 6, 2, 7 decide "high" exactly at n = 5."""
    plan = SequentialPlan("negative binomial", 2.0, 4.0, 0.10, 0.10, largest=30, k=4.6)
    totals = [2, 7, 13, 15, 22]
    answers = [decide(plan, n, total).answer for n, total in enumerate(totals, start=1)]
    assert answers == ["keep looking"] * 4 + ["act"]


def _plan_with_lines(lower: float, upper: float, slope: float, leave_level: float) -> SequentialPlan:
    """A presence plan with the lines given: act level from the slope by bisection, risks from the
    intercepts."""
    low, high = slope, 1.0 - 1e-9
    for _ in range(200):
        middle = (low + high) / 2
        divisor = math.log(middle * (1 - leave_level) / (leave_level * (1 - middle)))
        if math.log((1 - leave_level) / (1 - middle)) / divisor < slope:
            low = middle
        else:
            high = middle
    divisor = math.log(low * (1 - leave_level) / (leave_level * (1 - low)))
    a, b = math.exp(upper * divisor), math.exp(lower * divisor)
    needless = (1 - b) / (a - b)
    return SequentialPlan(
        "presence", leave_level, low, needless, b * (1 - needless), 31, first_look=11, look_every=5
    )


def test_soybean_aphid_stop_table() -> None:
    """Hodgson et al. 2004, J. Econ. Entomol. 97:2127-2136: first look at 11 plants, then every 5 up to 31.

    Leave at 6 or fewer of 11, act at 11 (as given by extension); 10/15, 14/19, 18/23, 22/27 from memory. All
    lie exactly on lines of slope .8 with intercepts -2.8 and +2.2, so floating point must not move a single
    one.
    """
    plan = _plan_with_lines(-2.8, 2.2, 0.8, 0.7)
    assert stop_table(plan) == (
        StopRow(11, 6, 11),
        StopRow(16, 10, 15),
        StopRow(21, 14, 19),
        StopRow(26, 18, 23),
        StopRow(31, 22, 27),
    )
    assert [decide(plan, 11, found).answer for found in (6, 7, 10, 11)] == [
        "leave",
        "keep looking",
        "keep looking",
        "act",
    ]


def test_what_to_do_next_while_keying_in() -> None:
    """Worked from the table of the made plan: 0 of 6 needs 7 more clean plants; 2 of 3 acts on one more
    infested."""
    clean = decide(S1, 6, 0)
    assert (clean.answer, clean.clean_to_leave, clean.found_to_act, clean.look_at_more) == (
        "keep looking",
        7,
        None,
        4,
    )
    edge = decide(S1, 3, 2)
    assert (edge.clean_to_leave, edge.found_to_act, edge.look_at_more) == (22, 1, 1)
    assert decide(S1, 13, 0).answer == "leave"
    assert decide(S1, 3, 3).answer == "act"
    assert decide(S1, 59, 9).clean_to_leave is None
    assert decide(S1, 0, 0).answer == "keep looking"


def test_the_end_is_an_honest_third_answer() -> None:
    assert decide(S1, 60, 10).answer == "cannot tell"
    assert decide(S1, 75, 12).answer == "cannot tell"
    assert decide(S1, 60, 7).answer == "leave"
    assert decide(S1, 60, 12).answer == "act"
    assert decide(S1, 60, 10).look_at_more == 0


def test_nothing_is_decided_before_the_first_look() -> None:
    plan = SequentialPlan("presence", 0.10, 0.25, 0.10, 0.10, largest=60, first_look=10, look_every=5)
    assert decide(plan, 5, 5).answer == "keep looking"
    assert decide(plan, 5, 5).look_at_more == 5
    assert looks(plan)[-1] == 60
    assert looks(SequentialPlan("presence", 0.1, 0.25, 0.1, 0.1, 17, first_look=5, look_every=5)) == (
        5,
        10,
        15,
        17,
    )


def test_count_plans_can_act_at_any_next_unit() -> None:
    plan = SequentialPlan("poisson", 1.0, 2.0, 0.10, 0.10, largest=25)
    going = decide(plan, 4, 5)
    assert going.answer == "keep looking"
    assert going.look_at_more == 1
    assert going.found_to_act == math.ceil(3.1699250014 + 5 * 1.4426950409) - 5
    assert going.clean_to_leave == 2
    assert decide(plan, 6, 5).answer == "leave"


def test_stop_table_rows() -> None:
    assert stop_table(SequentialPlan("presence", 0.1, 0.25, 0.1, 0.1, 20, first_look=10, look_every=5)) == (
        StopRow(10, None, 4),
        StopRow(15, 0, 5),
        StopRow(20, 1, 6),
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: SequentialPlan("presence", 0.25, 0.10, 0.1, 0.1, 60),
        lambda: SequentialPlan("presence", 0.25, 1.0, 0.1, 0.1, 60),
        lambda: SequentialPlan("presence", 0.0, 0.2, 0.1, 0.1, 60),
        lambda: SequentialPlan("presence", 0.1, 0.2, 0.6, 0.5, 60),
        lambda: SequentialPlan("presence", 0.1, 0.2, 0.1, 0.1, 5, first_look=6),
        lambda: SequentialPlan("poisson", 1.0, 2.0, 0.1, 0.1, 60, k=1.0),
        lambda: SequentialPlan("negative binomial", 1.0, 2.0, 0.1, 0.1, 60),
        lambda: decide(S1, 3, 4),
        lambda: decide(S1, -1, 0),
        lambda: decide(S1, 3, -1),
    ],
)
def test_impossible_plans_and_counts_are_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError):
        call()
