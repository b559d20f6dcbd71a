"""Operating figures against Wald's theory, package mistat, published sample numbers and seeded simulation."""

import pytest

from bayround.agronomy.operating import exact_operating, operating_curve, wald_operating, wald_point
from bayround.agronomy.sequential import SequentialPlan, stop_lines, stop_table

Figures = tuple[float, ...]
Row = tuple[float, Figures, Figures, Figures, Figures]

S1 = SequentialPlan("presence", 0.10, 0.25, 0.10, 0.10, largest=60)
S1_LONG = SequentialPlan("presence", 0.10, 0.25, 0.10, 0.10, largest=3000)
S1_EVERY_5 = SequentialPlan("presence", 0.10, 0.25, 0.10, 0.10, 60, first_look=5, look_every=5)
BINOMIAL_05 = SequentialPlan("presence", 0.01, 0.05, 0.05, 0.05, largest=60)

# true p; Wald L and average; exact L and average without cut-off; cut at 60: leave, act, cannot tell, average;
# the same, looking every 5 plants. Dynamic programming in a second program, confirmed there by simulation.
S1_FIGURES: list[Row] = [
    (
        0.05,
        (0.991156, 16.943),
        (0.994749, 18.376),
        (0.992528, 0.005248, 0.002225, 18.362),
        (0.994105, 0.002804, 0.003091, 20.647),
    ),
    (
        0.10,
        (0.900000, 24.259),
        (0.921644, 27.371),
        (0.862107, 0.075482, 0.062411, 26.388),
        (0.857363, 0.054385, 0.088251, 30.271),
    ),
    (
        0.15,
        (0.616308, 29.157),
        (0.638191, 34.849),
        (0.531442, 0.319598, 0.148960, 31.003),
        (0.504027, 0.279925, 0.216048, 36.429),
    ),
    (
        0.20,
        (0.281405, 25.684),
        (0.273352, 30.872),
        (0.232912, 0.653223, 0.113865, 27.984),
        (0.202303, 0.628222, 0.169475, 33.592),
    ),
    (
        0.25,
        (0.100000, 19.038),
        (0.087154, 22.305),
        (0.081311, 0.877135, 0.041554, 21.525),
        (0.063014, 0.873680, 0.063306, 26.259),
    ),
    (
        0.35,
        (0.010575, 10.637),
        (0.007500, 12.154),
        (0.007475, 0.991468, 0.001057, 12.143),
        (0.004467, 0.993862, 0.001671, 15.093),
    ),
]


@pytest.mark.parametrize("row", S1_FIGURES)
def test_operating_figures_of_the_made_plan(row: Row) -> None:
    p, wald, unlimited, cut, every_five = row
    approximate = wald_operating(S1, p)
    assert (approximate.leave, approximate.average_inspected) == (
        pytest.approx(wald[0], abs=5e-7),
        pytest.approx(wald[1], abs=5e-4),
    )
    exact = exact_operating(S1_LONG, p)
    assert (exact.leave, exact.average_inspected) == (
        pytest.approx(unlimited[0], abs=5e-7),
        pytest.approx(unlimited[1], abs=5e-4),
    )
    for plan, figures in ((S1, cut), (S1_EVERY_5, every_five)):
        point = exact_operating(plan, p)
        assert (point.leave, point.act, point.cannot_tell) == tuple(
            pytest.approx(f, abs=5e-7) for f in figures[:3]
        )
        assert point.average_inspected == pytest.approx(figures[3], abs=5e-4)
        assert point.leave + point.act + point.cannot_tell == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(
    ("h", "level", "leave", "average"),
    [
        (-2.145089601, 0.0871969888, 0.00180374394, 28.5692446),
        (-2.045089601, 0.0837498944, 0.00241981477, 30.2077010),
    ],
)
def test_wald_points_of_package_mistat(h: float, level: float, leave: float, average: float) -> None:
    """Values in the test file of mistat 0.1.17, cross-checked by its authors with R package Dodge."""
    point = wald_point(BINOMIAL_05, h)
    assert point.true_level == pytest.approx(level, rel=1e-9)
    assert point.leave == pytest.approx(leave, rel=1e-8)
    assert point.average_inspected == pytest.approx(average, rel=1e-8)
    again = wald_operating(BINOMIAL_05, level)
    assert again.leave == pytest.approx(leave, rel=1e-7)


@pytest.mark.parametrize(
    ("plan", "averages"),
    [
        (S1, (24.259, 28.899, 19.038)),
        (SequentialPlan("presence", 0.01, 0.10, 0.05, 0.10, 60), (27.957, 29.650, 16.447)),
        (SequentialPlan("presence", 0.10, 0.30, 0.02, 0.03, 60), (28.705, 49.014, 23.822)),
        (BINOMIAL_05, (107.130, 130.611, 64.178)),
        (SequentialPlan("presence", 0.32, 0.55, 0.10, 0.10, 60), (16.363, 21.592, 15.681)),
        # boll weevil, J. Econ. Entomol. 2017, 110:763: at most 31 units expected in the Poisson plan
        (SequentialPlan("poisson", 0.4, 0.8, 0.05, 0.05, 60), (21.590, 31.269, 17.150)),
        (
            SequentialPlan("negative binomial", 0.4, 0.8, 0.05, 0.05, 60, k=2.6274337),
            (26.921, 38.361, 20.513),
        ),
        (SequentialPlan("presence", 0.10, 0.20, 0.20, 0.20, 60), (22.670, 23.540, 18.732)),
        (SequentialPlan("negative binomial", 2.0, 4.0, 0.10, 0.10, 60, k=4.6), (4.8736, 5.7204, 3.5422)),
        (SequentialPlan("poisson", 1.0, 2.0, 0.10, 0.10, 60), (5.728, 6.965, 4.550)),
    ],
)
def test_wald_average_numbers(plan: SequentialPlan, averages: tuple[float, float, float]) -> None:
    """At the leave level, the slope and the act level (Wald 1945; plans as in test_sequential)."""
    slope = stop_lines(plan).slope
    for level, average in zip((plan.leave_level, slope, plan.act_level), averages, strict=True):
        assert wald_operating(plan, level).average_inspected == pytest.approx(average, abs=5e-4)
    assert wald_operating(plan, plan.leave_level).leave == pytest.approx(1.0 - plan.risk_needless, abs=1e-9)
    assert wald_operating(plan, plan.act_level).leave == pytest.approx(plan.risk_missed, abs=1e-9)
    assert wald_point(plan, 0.0).true_level == slope


@pytest.mark.parametrize(
    ("plan", "level", "leave", "average"),
    [
        (SequentialPlan("presence", 0.01, 0.10, 0.05, 0.10, 4000), 0.01, 0.977953, 30.213),
        (SequentialPlan("presence", 0.01, 0.10, 0.05, 0.10, 4000), 0.10, 0.099579, 22.369),
        (SequentialPlan("presence", 0.10, 0.30, 0.02, 0.03, 3000), 0.10, 0.986308, 29.902),
        (SequentialPlan("presence", 0.10, 0.30, 0.02, 0.03, 3000), 0.30, 0.027424, 26.602),
        (SequentialPlan("presence", 0.10, 0.20, 0.20, 0.20, 3000), 0.10, 0.845956, 26.208),
        (SequentialPlan("presence", 0.10, 0.20, 0.20, 0.20, 3000), 0.20, 0.201822, 23.352),
    ],
)
def test_exact_figures_of_published_plans(
    plan: SequentialPlan, level: float, leave: float, average: float
) -> None:
    """Dynamic programming in a second program; the last shows that a nominal risk of .20 can be passed
    (.2018)."""
    point = exact_operating(plan, level)
    assert point.leave == pytest.approx(leave, abs=5e-7)
    assert point.average_inspected == pytest.approx(average, abs=5e-4)


@pytest.mark.parametrize(
    ("plan", "level", "leave", "average"),
    [
        (SequentialPlan("negative binomial", 2.0, 4.0, 0.10, 0.10, 500, k=4.6), 2.0, 0.948, 6.48),
        (SequentialPlan("negative binomial", 2.0, 4.0, 0.10, 0.10, 500, k=4.6), 2.8418079176, 0.527, 9.16),
        (SequentialPlan("negative binomial", 2.0, 4.0, 0.10, 0.10, 500, k=4.6), 4.0, 0.073, 5.52),
        (SequentialPlan("poisson", 1.0, 2.0, 0.10, 0.10, 500), 1.0, 0.943, 7.38),
        (SequentialPlan("poisson", 1.0, 2.0, 0.10, 0.10, 500), 1.4426950409, 0.525, 10.47),
        (SequentialPlan("poisson", 1.0, 2.0, 0.10, 0.10, 500), 2.0, 0.077, 6.59),
    ],
)
def test_exact_count_plans_against_a_large_simulation(
    plan: SequentialPlan, level: float, leave: float, average: float
) -> None:
    """200,000 runs in a second program (standard errors .0011 and .02); Wald's averages are 29 to 60 % too
    small."""
    point = exact_operating(plan, level)
    assert point.leave == pytest.approx(leave, abs=0.003)
    assert point.average_inspected == pytest.approx(average, abs=0.05)
    assert point.average_inspected > 1.25 * wald_operating(plan, level).average_inspected


def _walk(plan: SequentialPlan, level: float, scouts: int) -> tuple[float, float, float, float]:
    """Shares of scouts who leave, act and cannot tell, and their average number, keyed in batches look by
    look."""
    import numpy as np

    draw = np.random.default_rng(20240105)
    answers = np.zeros(scouts, dtype=int)
    total, numbers = np.zeros(scouts, dtype=int), np.full(scouts, plan.largest)
    before = 0
    for row in stop_table(plan):
        units = row.inspected - before
        if plan.kind == "presence":
            total += draw.binomial(units, level, scouts)
        elif plan.k is None:
            total += draw.poisson(units * level, scouts)
        else:
            total += draw.negative_binomial(units * plan.k, plan.k / (plan.k + level), scouts)
        for code, says in (
            (1, total <= (-1 if row.leave_at_most is None else row.leave_at_most)),
            (2, total >= (10**9 if row.act_at_least is None else row.act_at_least)),
        ):
            now = (answers == 0) & says
            answers[now], numbers[now] = code, row.inspected
        before = row.inspected
    leave, act, open_end = (float((answers == code).mean()) for code in (1, 2, 0))
    return leave, act, open_end, float(numbers.mean())


@pytest.mark.parametrize(
    ("plan", "level"),
    [
        (S1, 0.10),
        (S1, 0.18),
        (S1_EVERY_5, 0.25),
        (SequentialPlan("poisson", 1.0, 2.0, 0.10, 0.10, 15), 1.4),
        (SequentialPlan("poisson", 0.4, 0.8, 0.05, 0.05, 40, first_look=10, look_every=10), 0.8),
        (SequentialPlan("negative binomial", 2.0, 4.0, 0.10, 0.10, 12, k=0.8), 3.0),
    ],
)
def test_scouts_following_the_stop_table_err_as_often_as_computed(plan: SequentialPlan, level: float) -> None:
    """100,000 simulated scouts against the exact figures: each answer within 3.5 standard errors."""
    leave, act, open_end, average = _walk(plan, level, 100_000)
    exact = exact_operating(plan, level)
    for seen, chance in ((leave, exact.leave), (act, exact.act), (open_end, exact.cannot_tell)):
        assert seen == pytest.approx(chance, abs=3.5 * (chance * (1 - chance) / 100_000) ** 0.5 + 1e-9)
    assert average == pytest.approx(exact.average_inspected, rel=0.006)


def test_curve_falls_and_impossible_levels_are_refused() -> None:
    curve = operating_curve(S1, [0.02, 0.1, 0.2, 0.3, 0.6])
    assert [point.leave for point in curve] == sorted((point.leave for point in curve), reverse=True)
    for level in (0.0, 1.0, -0.1):
        with pytest.raises(ValueError):
            exact_operating(S1, level)
        with pytest.raises(ValueError):
            wald_operating(S1, level)
