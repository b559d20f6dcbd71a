"""Pick forecasts whatever the counts: a fruit is picked once, or not at all."""

from hypothesis import given
from hypothesis import strategies as st

from bayround.agronomy.ripening import FruitWeight, forecast_picks
from bayround.agronomy.ripening_time import FruitStage, clock_in_days, ready_share

COUNTS = st.lists(st.lists(st.integers(0, 12), min_size=3, max_size=3), min_size=2, max_size=12)
STAGES = st.lists(st.tuples(st.floats(1, 30), st.floats(0, 1)), min_size=3, max_size=3).map(
    lambda parts: [FruitStage(f"s{place}", *part) for place, part in enumerate(parts)]
)


@given(COUNTS, STAGES, st.floats(0, 0.3))
def test_weeks_add_up_and_never_pass_what_hangs(
    counts: list[list[int]], stages: list[FruitStage], variation: float
) -> None:
    forecast = forecast_picks(
        counts,
        stages,
        week_ends=clock_in_days(4),
        plants_standing=500,
        weight=FruitWeight(0.2, 0.03, 0.01),
        duration_variation=variation,
    )
    summed = sum(week.fruit for week in forecast.weeks)
    assert abs(summed - forecast.together.fruit) < 1e-6
    hanging = 500 * sum(
        sum(row[place] for row in counts) / len(counts) * stage.chance for place, stage in enumerate(stages)
    )
    assert forecast.together.fruit <= hanging + 1e-6
    for week in (*forecast.weeks, forecast.together):
        assert 0 <= week.fruit_low <= week.fruit <= week.fruit_high
        assert 0 <= week.kg_low <= week.kg <= week.kg_high


@given(st.floats(0.5, 60), st.floats(0, 60), st.floats(0, 120), st.floats(0, 0.4))
def test_ready_share_only_rises(duration: float, ahead: float, time: float, variation: float) -> None:
    now, later = (
        ready_share(duration, ahead, time, variation),
        ready_share(duration, ahead, time + 1, variation),
    )
    assert 0 <= now <= later + 1e-9
    assert later <= 1
