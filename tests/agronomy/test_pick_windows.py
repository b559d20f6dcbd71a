"""The quick pick forecast gives the numbers of the full one, and of seasons played fruit by fruit."""

from __future__ import annotations

import dataclasses
import random

import numpy as np
import pytest

from bayround.agronomy.pick_windows import RipeningFruit, pick_windows
from bayround.agronomy.ripening import FruitWeight, NewFlowers, forecast_picks
from bayround.agronomy.ripening_time import FruitStage
from bayround.agronomy.stage_ages import EarlierCount, StageAges, stage_ages

NAMES = ("flower", "set", "green", "turning", "coloured")


def a_case(seed: int) -> tuple[list[list[float]], RipeningFruit, dict[str, object]]:
    draw = random.Random(seed)
    stages = tuple(
        FruitStage(name, draw.uniform(3, 40), chance)
        for name, chance in zip(NAMES, (0.15, 0.8, 0.95, 0.97, 1.0), strict=True)
    )
    counts = [[float(draw.randint(0, 8)) for _stage in stages] for _plant in range(draw.randint(2, 14))]
    fruit = RipeningFruit(stages, draw.choice([0.0, 0.12, 0.3]), draw.choice([0.0, 2.0, 25.0]))
    ends = [draw.uniform(1, 6)]
    for _week in range(3):
        ends.append(ends[-1] + 7 * draw.uniform(0.5, 12))
    named = {
        "week_ends": ends,
        "plants_standing": draw.randint(20, 3000),
        "weight": FruitWeight(0.18, 0.045, draw.choice([0.0, 0.01])),
        "level": draw.choice([0.8, 0.9]),
    }
    return counts, fruit, named


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("from_rounds", [False, True])
def test_it_is_the_full_forecast(seed: int, from_rounds: bool) -> None:
    """Every number of every window, ages known from the rounds before or not, chances sure or not."""
    counts, fruit, named = a_case(seed)
    draw = random.Random(seed + 1000)
    sure = draw.choice([0.0, 0.002])
    fruit = dataclasses.replace(
        fruit, stages=tuple(dataclasses.replace(stage, chance_variance=sure) for stage in fruit.stages)
    )
    ends: list[float] = named["week_ends"]  # type: ignore[assignment]
    shared = {
        "new_flowers": NewFlowers(draw.choice([0.0, 0.4]), draw.choice([0.0, 0.1])),
        "set_variation": draw.choice([0.0, 1.2]),
        "ages": ages_of(draw, counts, fruit.stages) if from_rounds else None,
    }
    quick = pick_windows(counts, fruit, week=ends[-1] - ends[-2], **shared, **named)  # type: ignore[arg-type]
    full = forecast_picks(
        counts,
        fruit.stages,
        duration_variation=fruit.duration_variation,
        clock_deviation=fruit.clock_deviation,
        **shared,  # type: ignore[arg-type]
        **named,  # type: ignore[arg-type]
    )
    for one, other in zip(quick, full.weeks, strict=True):
        for field in dataclasses.fields(one):
            mine, theirs = getattr(one, field.name), getattr(other, field.name)
            assert mine == pytest.approx(theirs, rel=1e-9, abs=1e-9), field.name


def ages_of(
    draw: random.Random, counts: list[list[float]], stages: tuple[FruitStage, ...]
) -> tuple[StageAges, ...]:
    """Return ages from five rounds, a week or so apart."""
    rounds, ago = [EarlierCount(0, [sum(column) for column in zip(*counts, strict=True)])], 0.0
    for _round in range(4):
        ago += draw.uniform(5, 9)
        rounds.append(
            EarlierCount(ago, [float(draw.randint(0, 60)) for _stage in stages], draw.randint(0, 9))
        )
    return stage_ages(rounds, stages)


def test_bays_that_share_a_clock_do_not_mix_their_counts() -> None:
    counts, fruit, named = a_case(3)
    other = [[count + 1 for count in row] for row in counts]
    first = pick_windows(counts, fruit, **named)  # type: ignore[arg-type]
    assert pick_windows(other, fruit, **named)[2].fruit > first[2].fruit  # type: ignore[arg-type]
    assert pick_windows(counts, fruit, **named) == first  # type: ignore[arg-type]


def test_expected_fruit_is_that_of_many_fruit_played_one_by_one() -> None:
    """A million fruit of one stage, even over it, pace 1 ± 0.12: the share picked by each end.

    The program takes the pace as normal within bins of a week; that is good to half a percent of the fruit.
    """
    stages = (
        FruitStage("green", 12.0, 1.0),
        FruitStage("turning", 6.0, 1.0),
        FruitStage("coloured", 7.0, 1.0),
    )
    source = np.random.default_rng(5)
    left = source.uniform(0, 12, 1_000_000) + 13.0
    left = left * (1 + 0.12 * source.standard_normal(left.size))
    found = pick_windows(
        [[10.0, 0.0, 0.0]] * 4, RipeningFruit(stages, 0.12, 0.0), week_ends=[7.0, 14.0, 21.0, 28.0],
        plants_standing=1000, weight=FruitWeight(0.2),
    )  # fmt: skip
    for window, (start, end) in zip(found, ((-99, 7), (7, 14), (14, 21), (21, 28)), strict=True):
        assert window.fruit / 10_000 == pytest.approx(np.mean((left > start) & (left <= end)), abs=5e-3)


@pytest.mark.parametrize(
    "changes",
    [
        {"week_ends": [7.0, 7.0]},
        {"week_ends": []},
        {"plants_standing": 1},
        {"counts": [[1.0] * 5]},
        {"counts": [[1.0] * 5, [1.0] * 4]},
        {"counts": [[1.0] * 5, [-1.0] * 5]},
    ],
)
def test_impossible_input_is_refused(changes: dict[str, object]) -> None:
    counts, fruit, named = a_case(1)
    given = {**named, **{key: value for key, value in changes.items() if key != "counts"}}
    with pytest.raises(ValueError):
        pick_windows(changes.get("counts", counts), fruit, **given)  # type: ignore[arg-type]
