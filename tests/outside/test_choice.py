"""Green or coloured: the only published figures are prices and yields of a trial; the rest is worked by hand."""

import pytest

from bayround.agronomy.choice import Advice, ChoiceCase, choice_table, green_or_coloured


def punjab(coloured_kg: float) -> ChoiceCase:
    """Singh et al. 2019, IJCMAS 8(12):1407-1413: 560 m², green 117,000 Rs at 25, yellow 151,200 and red 142,800 at 35."""
    green_kg = 117_000 / 25
    return ChoiceCase(
        fruit_per_m2=green_kg / 0.15 / 560,
        green_fruit_kg=0.15,
        coloured_fruit_kg=0.15,
        green_price_per_kg=25,
        coloured_price_per_kg=35,
        loss_share=1 - coloured_kg / green_kg,
        days_to_colour=14,
    )


@pytest.mark.parametrize(("gross", "colour"), [(151_200, "yellow"), (142_800, "red")])
def test_published_gross_returns_come_out(gross: float, colour: str) -> None:
    """The difference of the published gross returns per m², and the price ratio at which they would be equal."""
    choice = green_or_coloured(punjab(gross / 35))
    assert choice.value_now_per_m2 == pytest.approx(117_000 / 560, rel=1e-12)
    assert choice.value_waiting_per_m2 == pytest.approx(gross / 560, rel=1e-12), colour
    assert choice.advantage_of_waiting_per_m2 == pytest.approx((gross - 117_000) / 560, rel=1e-12)
    assert choice.break_even_price_ratio == pytest.approx((117_000 / 25) / (gross / 35), rel=1e-12)
    assert choice.break_even_loss_share == pytest.approx(1 - 25 / 35, rel=1e-12)
    assert choice.advice is Advice.WAIT


# By hand: 10 fruit of 0.18 kg at 1.00 now (1.80); coloured 0.20 kg at 1.50 and 10 % lost (2.70); waiting 12 days at
# 0.01 later fruit a fruit and day is 1.2 later fruit of 0.25 money (0.30). So waiting gains 2.70 - 0.30 - 1.80 = 0.60.
CASE = ChoiceCase(10, 0.18, 0.20, 1.0, 1.5, 0.10, 12, 0.01, 0.25)


def test_worked_by_hand() -> None:
    choice = green_or_coloured(CASE)
    assert choice.value_now_per_m2 == pytest.approx(1.80)
    assert choice.value_coloured_per_m2 == pytest.approx(2.70)
    assert choice.later_set_cost_per_m2 == pytest.approx(0.30)
    assert choice.advantage_of_waiting_per_m2 == pytest.approx(0.60)
    assert choice.break_even_coloured_price_per_kg == pytest.approx(2.10 / 1.8)
    assert choice.break_even_price_ratio == pytest.approx(2.10 / 1.8)
    assert choice.break_even_loss_share == pytest.approx(0.30)


def test_forgetting_the_later_set_would_not_pass() -> None:
    """Without what waiting fruit cost in later set, the break-even ratio would be 1.0: that is the trap."""
    assert abs(green_or_coloured(CASE).break_even_price_ratio - 1.0) > 0.1


def test_uncertain_losses_can_turn_the_advice() -> None:
    from dataclasses import replace

    assert green_or_coloured(replace(CASE, loss_share_low=0.05, loss_share_high=0.25)).advice is Advice.WAIT
    unsure = green_or_coloured(replace(CASE, loss_share_low=0.05, loss_share_high=0.40))
    assert unsure.advice is Advice.DEPENDS_ON_LOSSES
    assert unsure.advantage_low_per_m2 == pytest.approx(1.80 - 0.30 - 1.80)
    assert unsure.advantage_high_per_m2 == pytest.approx(2.85 - 0.30 - 1.80)
    assert green_or_coloured(replace(CASE, coloured_price_per_kg=1.0)).advice is Advice.PICK_NOW


def test_table_agrees_with_the_single_choice() -> None:
    rows = choice_table(CASE, [1.0, 2.1 / 1.8, 1.5], [0.0, 0.1])
    assert [(row.price_ratio, row.loss_share) for row in rows[:2]] == [(1.0, 0.0), (1.0, 0.1)]
    assert rows[3].advantage_of_waiting_per_m2 == pytest.approx(0, abs=1e-12)
    assert rows[5].advantage_of_waiting_per_m2 == pytest.approx(0.60)


def test_worthless_coloured_fruit_has_no_break_even_loss() -> None:
    from dataclasses import replace

    assert green_or_coloured(replace(CASE, coloured_price_per_kg=0)).break_even_loss_share is None


@pytest.mark.parametrize(
    "change",
    [
        {"fruit_per_m2": 0},
        {"green_price_per_kg": -1},
        {"loss_share": 1.0},
        {"loss_share": -0.1},
        {"loss_share_low": 0.2},
        {"days_to_colour": float("nan")},
    ],
)
def test_impossible_input_is_refused(change: dict[str, float]) -> None:
    from dataclasses import replace

    with pytest.raises(ValueError):
        green_or_coloured(replace(CASE, **change))


def test_empty_table_is_refused() -> None:
    with pytest.raises(ValueError):
        choice_table(CASE, [], [0.1])
