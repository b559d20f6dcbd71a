"""What must hold for every stop rule, density relation and precision plan."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bayround.agronomy.density import (
    EmpiricalLine,
    NegativeBinomialRelation,
    PoissonRelation,
    Relation,
    WilsonRoomRelation,
)
from bayround.agronomy.operating import exact_operating, wald_operating
from bayround.agronomy.sequential import SequentialPlan, decide, looks, stop_table

steady = settings(deadline=None, derandomize=True, max_examples=60)


@st.composite
def plans(draw: st.DrawFn) -> SequentialPlan:
    kind = draw(st.sampled_from(["presence", "poisson", "negative binomial"]))
    low = draw(st.floats(0.02, 0.4))
    high = low * draw(st.floats(1.4, 2.2))
    scale = 1.0 if kind == "presence" else draw(st.floats(1.0, 5.0))
    first = draw(st.integers(1, 10))
    return SequentialPlan(
        kind,  # type: ignore[arg-type]
        low * scale,
        high * scale,
        draw(st.floats(0.02, 0.3)),
        draw(st.floats(0.02, 0.3)),
        largest=first + draw(st.integers(0, 40)),
        first_look=first,
        look_every=draw(st.integers(1, 7)),
        k=draw(st.floats(0.3, 5.0)) if kind == "negative binomial" else None,
    )


@steady
@given(plans(), st.integers(0, 60), st.integers(0, 200))
def test_decisions_are_those_of_the_printed_table(plan: SequentialPlan, at: int, found: int) -> None:
    row = stop_table(plan)[at % len(looks(plan))]
    if plan.kind == "presence":
        found = min(found, row.inspected)
    answer = decide(plan, row.inspected, found).answer
    if row.act_at_least is not None and found >= row.act_at_least:
        assert answer == "act"
    elif row.leave_at_most is not None and found <= row.leave_at_most:
        assert answer == "leave"
    else:
        assert answer == ("cannot tell" if row.inspected == plan.largest else "keep looking")


@steady
@given(plans(), st.integers(0, 50), st.integers(0, 30))
def test_so_many_clean_units_more_and_one_can_leave(plan: SequentialPlan, inspected: int, found: int) -> None:
    """``clean_to_leave`` is enough, and no earlier look would do; ``found_to_act`` likewise at the next
    look."""
    assume(plan.kind != "presence" or found <= inspected)
    now = decide(plan, inspected, found)
    assume(now.answer == "keep looking")
    ahead = [n for n in looks(plan) if n > inspected]
    if now.clean_to_leave is None:
        assert all(decide(plan, n, found).answer != "leave" for n in ahead)
    else:
        there = inspected + now.clean_to_leave
        assert decide(plan, there, found).answer == "leave"
        assert all(decide(plan, n, found).answer != "leave" for n in ahead if n < there)
    if now.found_to_act is not None:
        assert decide(plan, ahead[0], found + now.found_to_act).answer == "act"
        assert decide(plan, ahead[0], found + now.found_to_act - 1).answer != "act"
    assert inspected < inspected + now.look_at_more <= plan.largest


@steady
@given(plans(), st.floats(0.05, 0.95))
def test_chances_sum_to_one_and_more_pest_means_less_leaving(plan: SequentialPlan, between: float) -> None:
    levels = [
        plan.leave_level,
        plan.leave_level + between * (plan.act_level - plan.leave_level),
        plan.act_level,
    ]
    points = [exact_operating(plan, level) for level in levels]
    for point in points:
        assert point.leave + point.act + point.cannot_tell == pytest.approx(1.0, abs=1e-9)
        assert looks(plan)[0] <= point.average_inspected <= plan.largest
    assert points[0].leave >= points[1].leave - 1e-12 >= points[2].leave - 2e-12
    assert points[0].act <= points[1].act + 1e-12 <= points[2].act + 2e-12


@steady
@given(plans())
def test_wald_s_curve_meets_the_risks_asked_for(plan: SequentialPlan) -> None:
    assert wald_operating(plan, plan.leave_level).leave == pytest.approx(1.0 - plan.risk_needless, abs=1e-6)
    assert wald_operating(plan, plan.act_level).leave == pytest.approx(plan.risk_missed, abs=1e-6)


relations = st.one_of(
    st.just(PoissonRelation()),
    st.builds(NegativeBinomialRelation, st.floats(0.1, 10.0)),
    st.builds(EmpiricalLine, st.floats(-1.0, 4.0), st.floats(0.5, 2.0)),
    st.builds(WilsonRoomRelation, st.floats(1.0, 6.0), st.floats(1.0, 1.7)),
)


@steady
@given(relations, st.floats(0.02, 0.93))
def test_density_and_incidence_undo_each_other(relation: Relation, share: float) -> None:
    if isinstance(relation, WilsonRoomRelation):
        assume(relation.reaches(share))
    density = relation.density(share)
    assert density > 0.0
    assert relation.incidence(density) == pytest.approx(share, rel=1e-8)
    assert relation.incidence(density * 1.01) > share
