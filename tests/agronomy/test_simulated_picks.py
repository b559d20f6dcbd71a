"""Do the 80 % intervals of the pick forecast hold four out of five times? Simulated seasons say."""

import numpy as np
import pytest

from bayround.agronomy.ripening import FruitWeight, forecast_picks
from bayround.agronomy.ripening_time import FruitStage, clock_in_days

DURATIONS = np.array([10.0, 15.0, 15.0, 5.0, 4.0])
LEFT_AFTER = np.array([0.5, 0.9, 1.0, 1.0, 1.0])  # share that leaves each stage alive
CHANCES = [float(np.prod(LEFT_AFTER[place:])) for place in range(5)]
STAGES = [
    FruitStage(name, float(duration), chance)
    for name, duration, chance in zip(
        ("flower", "set", "green", "turning", "coloured"), DURATIONS, CHANCES, strict=True
    )
]
PLANTS, SEASONS, SPREAD = 300, 450, 0.08


def one_planting(source: np.random.Generator, marked: int) -> tuple[np.ndarray, np.ndarray]:
    """Counts by stage on the marked plants today, and fruit picked in the planting in each of four weeks.

    Plants differ (gamma, 35 %), flowers open at random, each fruit has its own pace and is lost at the end of a stage
    or not. Its weight is not played here: fruit only.
    """
    rates = source.gamma(1 / 0.35**2, 0.25 * 0.35**2, PLANTS)
    back = float(DURATIONS.sum() * 1.5)
    opened = source.poisson(rates * back)
    plant = np.repeat(np.arange(PLANTS), opened)
    age = source.uniform(0, back, plant.size)
    pace = 1 + SPREAD * source.standard_normal(plant.size)
    ends = np.cumsum(DURATIONS) * pace[:, None]
    stage = (age[:, None] >= ends).sum(axis=1)
    lost = source.random((plant.size, 5)) > LEFT_AFTER
    lost_after = np.where(lost.any(axis=1), lost.argmax(axis=1), 5)
    hanging = (stage < 5) & (stage <= lost_after)
    picked_in = np.floor((ends[:, -1] - age) / 7).astype(int)
    coming = hanging & (lost_after == 5) & (picked_in < 4)
    counts = np.zeros((marked, 5))
    seen = hanging & (plant < marked)
    np.add.at(counts, (plant[seen], stage[seen]), 1)
    return counts, np.bincount(picked_in[coming], minlength=4)


@pytest.mark.parametrize("marked", [8, 20])
def test_four_out_of_five_weeks_lie_inside(marked: int) -> None:
    """80 % ± 3 % over 450 seasons of four weeks, with few and with many marked plants; and no bias."""
    source = np.random.default_rng(718)
    inside, ratio = [], []
    for _ in range(SEASONS):
        counts, picked = one_planting(source, marked)
        forecast = forecast_picks(
            counts.tolist(),
            STAGES,
            week_ends=clock_in_days(4),
            plants_standing=PLANTS,
            weight=FruitWeight(0.18),
            duration_variation=SPREAD,
        )
        inside += [
            week.fruit_low <= came <= week.fruit_high
            for week, came in zip(forecast.weeks, picked, strict=True)
        ]
        ratio.append(forecast.together.fruit / picked.sum())
    assert abs(np.mean(inside) - 0.80) < 0.03
    assert abs(np.mean(ratio) - 1) < 0.03


def test_luck_alone_would_not_hold() -> None:
    """An interval from binomial luck only, the mistake of forgetting that plants differ, holds far too rarely."""
    source = np.random.default_rng(719)
    inside = []
    for _ in range(150):
        counts, picked = one_planting(source, 8)
        week = forecast_picks(
            counts.tolist(), STAGES, week_ends=[7.0], plants_standing=PLANTS, weight=FruitWeight(0.18)
        ).weeks[0]
        inside.append(abs(picked[0] - week.fruit) <= 1.2816 * week.error_luck)
    assert np.mean(inside) < 0.35
