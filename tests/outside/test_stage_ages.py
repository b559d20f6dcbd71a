"""Ages within a stage from the rounds before: plain bookkeeping, worked by hand, and the variance behind it."""

import math

import pytest

from bayround.agronomy.ripening import FruitWeight, PickForecast, forecast_picks
from bayround.agronomy.ripening_time import FruitStage, clock_in_days
from bayround.agronomy.stage_ages import AgeBin, EarlierCount, StageAges, even_ages, stage_ages

GREEN, RIPE = FruitStage("green", 21, 1.0), FruitStage("ripe", 7, 1.0)


def test_what_entered_is_what_has_come_as_far_now_less_then() -> None:
    """By hand. Green or beyond: 30, 26, 25 fruit, 4 picked last week, 5 the week before: 8, 6, and 16 before that.

    Ripe or beyond: 6, 5, 5: 6 - 5 + 4 = 5 entered within the week that a fruit stays ripe; 21 - 14 = 7 days of the
    green stage are not reached by the rounds, and hold what is left of the 24 green fruit, 24 - 8 - 6 = 10.
    """
    rounds = [EarlierCount(0, [24, 6], 4), EarlierCount(7, [21, 5], 5), EarlierCount(14, [20, 5])]
    green, ripe = stage_ages(rounds, [GREEN, RIPE])
    assert [(each.youngest, each.oldest) for each in green.bins] == [(0, 7), (7, 14), (14, 21)]
    assert [each.share for each in green.bins] == pytest.approx([8 / 24, 6 / 24, 10 / 24])
    assert green.fruit == 24
    assert ripe.bins == (AgeBin(0, 7, 1.0),)


def test_a_round_older_than_the_stage_counts_in_part() -> None:
    """By hand: 10 fruit came in over the last 10 days and 8 over the 10 before; the stage lasts 14 days, so of the
    older ones only those of 4 days in 10 can still be there: 3.2."""
    rounds = [EarlierCount(0, [13.0], 3.0), EarlierCount(10, [6.0], 2.0), EarlierCount(20, [0.0])]
    (ages,) = stage_ages(rounds, [FruitStage("one", 14, 1.0)])
    assert [(each.youngest, each.oldest) for each in ages.bins] == [(0, 10), (10, 14)]
    assert [each.share for each in ages.bins] == pytest.approx([10 / 13.2, 3.2 / 13.2])


def test_first_round_of_a_planting_is_spread_evenly() -> None:
    (ages,) = stage_ages([EarlierCount(0, [9.0])], [FruitStage("one", 12, 1.0)])
    assert ages.bins == (AgeBin(0, 12, 1.0),)
    assert [each.share for each in even_ages(12, 7).bins] == [0.5, 0.5]
    assert even_ages(12, 7).fruit == 0


def test_lost_fruit_never_make_a_cohort_negative() -> None:
    (ages,) = stage_ages([EarlierCount(0, [3.0]), EarlierCount(7, [9.0])], [FruitStage("one", 14, 1.0)])
    assert [each.share for each in ages.bins] == [0, 1]


def picks(ages: list[StageAges] | None, **options: float) -> PickForecast:
    return forecast_picks(
        [[6, 0], [6, 0]],
        [GREEN, RIPE],
        week_ends=clock_in_days(4),
        plants_standing=100,
        weight=FruitWeight(0.2),
        ages=ages,
        **options,
    )


def test_a_flush_is_forecast_in_its_week() -> None:
    """By hand: all 600 fruit came in 7 to 14 days ago, and 21 + 7 days after that they are picked: in week 3."""
    flush = [StageAges((AgeBin(7, 14, 1.0),), 12), even_ages(7, 7)]
    assert [week.fruit for week in picks(flush).weeks] == pytest.approx([0, 0, 600, 0])
    assert [week.fruit for week in picks(None).weeks] == pytest.approx([0, 200, 200, 200])


def test_error_of_ages_by_hand() -> None:
    """Dirichlet variance (Johnson & Kotz 1972, from memory): in week 4 all of the newest of three bins is picked.

    Mean 1/3, mean square 1/3, so 600² (1/3 - 1/9) / (k + 1); known from 12 fruit, k 12; not known but set varying
    by 1.2 from week to week, k = 3 / 1.44.
    """
    spread = 1 / 3 - 1 / 9
    thirds = StageAges(tuple(AgeBin(7.0 * n, 7.0 * n + 7, 1 / 3) for n in range(3)), 12)
    known = picks([thirds, even_ages(7, 7)]).weeks[3]
    assert known.error_ages == pytest.approx(600 * math.sqrt(spread / 13))
    unknown = picks(None, set_variation=1.2).weeks[3]
    assert unknown.error_ages == pytest.approx(600 * math.sqrt(spread / (3 / 1.44 + 1)))
    assert picks(None).weeks[3].error_ages == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: stage_ages([], [GREEN]),
        lambda: stage_ages([EarlierCount(1, [3.0])], [GREEN]),
        lambda: stage_ages([EarlierCount(0, [3.0]), EarlierCount(0, [3.0])], [GREEN]),
        lambda: stage_ages([EarlierCount(0, [-3.0])], [GREEN]),
        lambda: stage_ages([EarlierCount(0, [3.0, 1.0])], [GREEN]),
        lambda: stage_ages([EarlierCount(0, [3.0], -1.0)], [GREEN]),
        lambda: even_ages(0, 7),
        lambda: picks([even_ages(21, 7)]),
        lambda: picks([even_ages(22, 7), even_ages(7, 7)]),
        lambda: picks([StageAges((AgeBin(0, 7, 0.5),), 3), even_ages(7, 7)]),
        lambda: picks(None, set_variation=-1),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
