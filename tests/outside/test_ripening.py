"""Pick forecast: worked examples, the distribution of ripening times, chances, and the clock."""

import math

import pytest

from bayround.agronomy.ripening import (
    FruitWeight,
    NewFlowers,
    PickWindow,
    corrected_window,
    forecast_picks,
)
from bayround.agronomy.ripening_time import (
    FruitStage,
    clock_in_days,
    clock_in_degree_days,
    learn_chance,
    ready_share,
)

# Eight plants, fruit by stage (pea, half, full green, breaking), 1,200 plants standing: a worked example made for the
# formula N² (1 - n/N) s²/n + N Σ c q (1 - q) (Cochran 1977, ch. 2, plus binomial luck), worked out beforehand.
COUNTS = [
    [4, 3, 2, 1],
    [5, 2, 3, 2],
    [3, 4, 1, 0],
    [6, 1, 2, 2],
    [4, 2, 4, 1],
    [2, 3, 3, 3],
    [5, 4, 2, 1],
    [3, 5, 1, 2],
]
WEIGHT = FruitWeight(0.2)


def stages(*parts: tuple[float, float]) -> list[FruitStage]:
    return [
        FruitStage(name, *part) for name, part in zip(("pea", "half", "full", "breaking"), parts, strict=True)
    ]


def test_seven_days_ahead() -> None:
    """q 0, 0, .15, .90: 2025 fruit, errors 377.1495535 (plants) and 22.5 (luck), 90 % 1309.190 to 2740.810.

    Breaking fruit all ripen within 5 days (chance .9); full green ones take 10 days more, so 2 of 10 are through in
    7 days (chance .75).
    """
    forecast = forecast_picks(
        COUNTS,
        stages((20, 0.3), (15, 0.6), (10, 0.75), (5, 0.9)),
        week_ends=clock_in_days(1),
        plants_standing=1200,
        weight=WEIGHT,
        level=0.9,
    )
    week = forecast.weeks[0]
    assert week.fruit == pytest.approx(2025, abs=1e-9)
    assert week.error_plants == pytest.approx(377.1495535, abs=1e-7)
    assert week.error_luck == pytest.approx(22.5, abs=1e-9)
    assert (week.fruit_low, week.fruit_high) == pytest.approx((1309.190, 2740.810), abs=5e-4)
    assert week.kg == pytest.approx(405)
    assert (week.kg_low, week.kg_high) == pytest.approx((261.838, 548.162), abs=1e-3)


def test_fourteen_days_ahead() -> None:
    """q 0, .10, .60, .95: 3690 fruit, errors 490.3937194 and 32.5192251, 90 % 2758.870 to 4621.130."""
    forecast = forecast_picks(
        COUNTS,
        stages((20, 0.3), (30, 1.0), (6, 0.6), (5, 0.95)),
        week_ends=clock_in_days(2),
        plants_standing=1200,
        weight=WEIGHT,
        level=0.9,
    )
    both = forecast.together
    assert both.fruit == pytest.approx(3690, abs=1e-9)
    assert both.error_plants == pytest.approx(490.3937194, abs=1e-7)
    assert both.error_luck == pytest.approx(32.5192251, abs=1e-7)
    assert (both.fruit_low, both.fruit_high) == pytest.approx((2758.870, 4621.130), abs=5e-4)
    assert sum(week.fruit for week in forecast.weeks) == pytest.approx(3690)
    assert both.fruit_high - both.fruit_low < sum(week.fruit_high - week.fruit_low for week in forecast.weeks)


def test_luck_alone_would_not_pass() -> None:
    """Binomial luck alone (± 1.96 x 22.5) is sixteen times too narrow: plant-to-plant variation is everything."""
    week = forecast_picks(
        COUNTS,
        stages((20, 0.3), (15, 0.6), (10, 0.75), (5, 0.9)),
        week_ends=[7.0],
        plants_standing=1200,
        weight=WEIGHT,
        level=0.95,
    ).weeks[0]
    assert week.fruit_high - week.fruit > 10 * 1.96 * 22.5


def test_ready_share_without_spread_is_a_straight_ramp() -> None:
    """By hand: 10 days in the stage, 5 ahead: none by day 5, half by day 10, all by day 15."""
    assert [ready_share(10, 5, day) for day in (0, 5, 10, 15, 40)] == [0, 0, 0.5, 1, 1]


@pytest.mark.parametrize("time", [3.0, 9.0, 15.0, 24.0])
def test_ready_share_with_spread_is_the_convolution(time: float) -> None:
    """Second implementation: scipy.integrate.quad of the normal distribution function over an even age."""
    from scipy.integrate import quad
    from scipy.stats import norm

    deviation = 0.15 * (10 / 2 + 8)
    expected, _ = quad(lambda age: norm.cdf((time - 8 - age) / deviation) / 10, 0, 10)
    assert ready_share(10, 8, time, 0.15) == pytest.approx(expected, abs=1e-10)


def test_fruit_set_to_pick_in_weeks() -> None:
    """Verroens et al. 2006, Acta Hort. 718: set to pick takes 7 weeks coloured and 5 weeks green.

    Fruit just set are therefore not in a four-week forecast of coloured fruit, but those set 3 to 4 weeks ago are.
    """
    just_set = [FruitStage("set", 0.5, 1.0), FruitStage("later", 48.5, 1.0)]
    counts = [[10, 0], [12, 0]]
    options = {"plants_standing": 100, "weight": WEIGHT}
    coloured = forecast_picks(counts, just_set, week_ends=clock_in_days(4), **options)  # type: ignore[arg-type]
    assert coloured.together.fruit == 0
    green = forecast_picks(counts, just_set, week_ends=[35, 42, 49, 56], **options)  # type: ignore[arg-type]
    assert green.weeks[2].fruit == pytest.approx(100 * 11)


def test_nothing_seen_is_not_nothing_there() -> None:
    """Hanley & Lippman-Hand 1983 (JAMA 249:1743-1745, from memory): none on n plants leaves up to -ln(tail)/n each."""
    week = forecast_picks(
        [[4, 0]] * 10,
        [FruitStage("set", 40, 0.5), FruitStage("ripe", 5, 0.9)],
        week_ends=[3.0],
        plants_standing=500,
        weight=WEIGHT,
    ).weeks[0]
    assert (week.fruit, week.fruit_low) == (0, 0)
    assert week.fruit_high == pytest.approx(500 * 0.9 * 0.6 * -math.log(0.1) / 10)
    assert week.kg_high == pytest.approx(week.fruit_high * 0.2)


def test_degree_days_and_days_agree_when_every_day_is_alike() -> None:
    """15 °C·d a day: durations in °C·d with that clock give the forecast in days. The clock itself by hand."""
    assert clock_in_degree_days([15, 15]) == (105, 210)
    assert clock_in_degree_days([10, 14, 12]) == (70, 168, 252)
    days = [(20, 0.3), (15, 0.6), (10, 0.75), (5, 0.9)]
    options = {"plants_standing": 1200, "weight": WEIGHT, "duration_variation": 0.1}
    by_days = forecast_picks(COUNTS, stages(*days), week_ends=clock_in_days(4), **options)  # type: ignore[arg-type]
    by_heat = forecast_picks(
        COUNTS,
        stages(*((15 * d, c) for d, c in days)),
        week_ends=clock_in_degree_days([15] * 4),
        **options,  # type: ignore[arg-type]
    )
    for one, other in zip(by_days.weeks, by_heat.weeks, strict=True):
        assert (one.fruit, one.fruit_low, one.fruit_high) == pytest.approx(
            (other.fruit, other.fruit_low, other.fruit_high), rel=1e-9
        )


def test_adams_tomato_thermal_time() -> None:
    """Adams, Cockshull & Cave 2001 (Ann. Bot. 88:869-877): rate line of 14, 18, 22 °C gives 53.514 d at 20 °C.

    Base 6.668 °C, 713.47 °C·d: a flower opened today at 20 °C is ripe on day 53.5, and not before.
    """
    clock = 20 - 6.668
    assert ready_share(1e-9, 713.47, 53.4 * clock) == 0
    assert ready_share(1e-9, 713.47, 53.6 * clock) == 1


def window(**changes: object) -> PickWindow:
    options: dict[str, object] = {
        "week_ends": [7.0],
        "plants_standing": 1200,
        "weight": WEIGHT,
        "level": 0.9,
        **changes,
    }
    own = options.pop("stages", stages((20, 0.3), (15, 0.6), (10, 0.75), (5, 0.9)))
    return forecast_picks(COUNTS, own, **options).weeks[0]  # type: ignore[arg-type]


def test_error_of_weight_by_hand() -> None:
    """2025 fruit of 0.2 kg: (2025 x .01)² from the mean weight and 2025 x .05² from single fruit, in kg²."""
    found = window(weight=FruitWeight(0.2, deviation_kg=0.05, standard_error_kg=0.01))
    assert found.error_weight_kg == pytest.approx(math.sqrt(20.25**2 + 2025 * 0.0025))
    assert found.fruit_high == pytest.approx(2740.810, abs=5e-4)
    half = 1.8945786051 * math.sqrt((0.2 * 377.8201) ** 2 + 20.25**2 + 5.0625)
    assert found.kg_high == pytest.approx(405 + half, abs=1e-3)


def test_error_of_chances_by_hand() -> None:
    """Breaking: 1.5 a plant, all ready in time, variance .0016; full green: 2.25, a fifth ready, variance .0025."""
    own = [FruitStage("pea", 20, 0.3), FruitStage("half", 15, 0.6)]
    own += [FruitStage("full", 10, 0.75, 0.0025), FruitStage("breaking", 5, 0.9, 0.0016)]
    expected = 1200 * math.sqrt((1.5**2) * 0.0016 + (2.25 * 0.2) ** 2 * 0.0025)
    assert window(stages=own).error_chances == pytest.approx(expected)


def test_error_of_the_clock_by_hand() -> None:
    """A day fast or slow moves one tenth of the full green fruit: 1200 x 2.25 x .1 x .75 = 202.5 either way."""
    assert window(clock_deviation=1.0).error_clock == pytest.approx(202.5)


def test_new_flowers_by_hand() -> None:
    """Cucumber-like: 3 + 4 days from flower to pick; 0.5 flowers a plant and day, chance .8: those of the first
    14 - 7 days are picked within two weeks, 3.5 x .8 = 2.8 a plant."""
    own = [FruitStage("flower", 3, 0.8), FruitStage("fruit", 4, 0.9)]
    without, given = (
        forecast_picks(
            [[0, 0], [0, 0]],
            own,
            week_ends=clock_in_days(2),
            plants_standing=100,
            weight=WEIGHT,
            new_flowers=flowers,
        )
        for flowers in (None, NewFlowers(0.5, 0.1))
    )
    assert given.together.fruit == pytest.approx(280)
    assert given.weeks[0].fruit == 0
    assert given.together.error_luck == pytest.approx(math.sqrt(280))
    assert given.together.error_plants == pytest.approx(100 * 7 * 0.8 * 0.1)
    assert [week.complete for week in without.weeks] == [True, False]
    assert all(week.complete for week in given.weeks)


def test_corrected_window() -> None:
    """Goodwin 2000 (Int. J. Forecasting 16:261-275): correcting the bias is a factor on the whole forecast."""
    plain = window()
    half = corrected_window(plain, 0.5)
    assert (half.fruit, half.fruit_low, half.kg_high) == (
        plain.fruit / 2,
        plain.fruit_low / 2,
        plain.kg_high / 2,
    )


# Gelman et al. 2013, Bayesian Data Analysis, table 2.1 and section 2.4 (from memory): 437 girls among 980 births with
# placenta previa; posterior 95 % intervals under priors centred on .485 and worth this many births.
@pytest.mark.parametrize(
    ("weight", "low", "high"),
    [
        (2, 0.415, 0.477),
        (5, 0.415, 0.477),
        (10, 0.415, 0.477),
        (20, 0.416, 0.478),
        (100, 0.420, 0.479),
        (200, 0.424, 0.481),
    ],
)
def test_learned_chance_against_a_textbook_table(weight: float, low: float, high: float) -> None:
    found = learn_chance(437, 980, profile_chance=0.485, profile_weight=weight, level=0.95)
    assert (found.low, found.high) == pytest.approx((low, high), abs=6e-4)


def test_learned_chance_agrees_with_scipy() -> None:
    """Second implementation: scipy.stats.beta; no own fruit gives the profile back."""
    from scipy.stats import beta

    found = learn_chance(7, 40, profile_chance=0.15, profile_weight=20)
    posterior = beta(0.15 * 20 + 7, 0.85 * 20 + 33)
    assert (found.chance, found.variance) == pytest.approx((posterior.mean(), posterior.var()), rel=1e-12)
    assert (found.low, found.high) == pytest.approx(posterior.interval(0.8), rel=1e-9)
    assert found.own_share == 40 / 60
    assert learn_chance(0, 0, profile_chance=0.15, profile_weight=20).chance == pytest.approx(0.15)


@pytest.mark.parametrize(
    "call",
    [
        lambda: clock_in_days(5),
        lambda: clock_in_days(0),
        lambda: clock_in_degree_days([0.0]),
        lambda: ready_share(0, 1, 1),
        lambda: learn_chance(5, 4, profile_chance=0.5, profile_weight=2),
        lambda: learn_chance(1, 4, profile_chance=1.0, profile_weight=2),
        lambda: window(week_ends=[7.0, 7.0]),
        lambda: window(week_ends=[]),
        lambda: window(plants_standing=7),
        lambda: window(weight=FruitWeight(0)),
        lambda: window(stages=stages((20, 0.3), (15, 0.6), (10, 0.75), (5, 1.9))),
        lambda: window(stages=stages((20, 0.3), (15, 0.6), (0, 0.75), (5, 0.9))),
        lambda: window(new_flowers=NewFlowers(-1)),
        lambda: forecast_picks(
            [[1]], [FruitStage("a", 1, 1)], week_ends=[7], plants_standing=5, weight=FruitWeight(1)
        ),
        lambda: forecast_picks(
            [[1], [1, 2]], [FruitStage("a", 1, 1)], week_ends=[7], plants_standing=5, weight=FruitWeight(1)
        ),
        lambda: corrected_window(window(), 0),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
