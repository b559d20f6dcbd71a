"""What stands beside the main figures: exact limits, Wald's approximation, means over bays, plots for a trial, old grades."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from statistics import fmean

import pytest
from scipy import stats
from statsmodels.stats.power import FTestAnovaPower, TTestIndPower, TTestPower

import factory
from bayround.actions.imports import old_grades
from bayround.crops import load_crops
from bayround.facts.farm import PlantChoice
from bayround.facts.rounds import PestCheck
from bayround.figures import all_bays, heights, pests, plan_cost, sample_size, trend, trial_plan, trial_size
from bayround.figures.figure import Figure

CROPS = load_crops()


def line(figure: Figure, heading: str) -> str:
    return dict(figure.explained())[heading]


def test_exact_limits_stand_beside_wilsons() -> None:
    """3 of 20: scipy's exact binomial interval is 3.2 to 37.9 %, Wilson's 5.2 to 36.0 %."""
    figure = pests.incidence_figure("i", "aphids", [PestCheck("c", "v", "aphids", "leaf", 20, 3)])
    exact = stats.binomtest(3, 20).proportion_ci(method="exact")
    shown = f"{exact.low * 100:.1f} to {exact.high * 100:.1f} %"
    assert line(figure, "Exact limits (Clopper & Pearson 1934)") == shown == "3.2 to 37.9 %"
    assert figure.interval_text == "5.2 to 36.0"


def test_walds_approximation_is_drawn_beside_the_exact_curve_and_differs() -> None:
    (view, *_rest) = plan_cost.views((CROPS.organism("aphids"),), "sweet_pepper")
    assert len(view.wald) == len(view.curve)
    known = [(exact, wald) for exact, wald in zip(view.curve, view.wald, strict=True) if wald is not None]
    assert len(known) > 20
    assert max(abs(exact.leave - wald.leave) for exact, wald in known) > 0.02
    # Wald 1945: at the leave and act level the chances are the two risks themselves.
    wald_line = plan_cost.wald_sentence(view)
    assert "10 and 10 of 100" in wald_line


def test_the_mean_over_bays_has_the_bays_for_its_sample() -> None:
    """Bays of equal size: the ratio estimate is the t interval of the bay means (scipy); plants as sample would be narrower."""
    pasts = [factory.past(1, start_cm=start) for start in (90.0, 100.0, 130.0, 104.0)]
    found = all_bays.mean_over_bays(pasts, "height_cm", factory.FIRST_ROUND, 200)
    values = [list(sample_size.MEASURES["height_cm"].values(past).values()) for past in pasts]
    means = [fmean(one) for one in values]
    half = stats.t.ppf(0.975, 3) * stats.sem(means) * math.sqrt(1 - 4 / 200)
    assert found.value == pytest.approx(fmean(means))
    assert (found.low, found.high) == (pytest.approx(fmean(means) - half), pytest.approx(fmean(means) + half))
    plants = stats.t.interval(0.95, 39, found.value, stats.sem([one for bay in values for one in bay]))
    assert found.high - found.low > 2 * (plants[1] - plants[0])  # type: ignore[operator]


def test_one_bay_or_old_visits_make_no_mean_over_bays() -> None:
    pasts = [factory.past(1), factory.past(1)]
    assert all_bays.mean_over_bays(pasts[:1], "height_cm", factory.FIRST_ROUND, 2).value is None
    later = factory.FIRST_ROUND + timedelta(days=1)
    assert (
        all_bays.mean_over_bays(pasts, "height_cm", later, 2).missing == "Needs two bays that were measured."
    )


def test_neighbours_along_the_walk_give_an_interval_of_drawn_plants_only() -> None:
    """Heights rise by 0.5 cm from stop to stop: Σd²/(2(n-1)) = 0.125, error √(0.125/10 · (1-10/N)); Wolter 1985, ch. 7."""
    past = factory.past(1)
    drawn = replace(past, choices=tuple(PlantChoice(f"c{one.id}", one.id, seed=7) for one in past.plants))
    assert past.planting is not None
    error = math.sqrt(0.125 / 10 * (1 - 10 / past.planting.plants))
    half = stats.t.ppf(0.975, 2 * 9**2 / (3 * 10 - 4)) * error
    mean = 100 + 0.5 * 4.5
    shown = f"{mean - half:.1f} to {mean + half:.1f} cm"
    heading = "Interval from neighbours along the walk"
    assert line(heights.figures(drawn, None)["height_cm"], heading) == shown
    assert heading not in dict(heights.figures(past, None)["height_cm"].explained())


def test_in_a_small_bay_of_whole_plants_fewer_are_enough() -> None:
    """Hypergeometric (scipy): 5 of 100 infested are missed by 45 plants in under 5 %, by 44 in more; without limit 59."""
    assert stats.hypergeom.pmf(0, 100, 5, 45) <= 0.05 < stats.hypergeom.pmf(0, 100, 5, 44)
    assert "with 95 % certainty look at 45." in sample_size.detection_sentence(30, 5.0, 100)
    assert "with 95 % certainty look at 59." in sample_size.detection_sentence(30, 5.0)


def test_plots_for_a_trial_are_those_of_statsmodels() -> None:
    lines = dict(trial_size.plots_wanted(12.0, 4, in_blocks=False))
    pair = TTestIndPower().solve_power(20 / 12, alpha=0.05, power=0.8)
    every = FTestAnovaPower().solve_power(20 / 12 / math.sqrt(8), alpha=0.05, power=0.8, k_groups=4)
    wanted = f"{math.ceil(pair)} of each; {math.ceil(every)} in all for the F test of 4 treatments"
    assert lines["Plots to see 20 % between two"] == wanted
    blocked = dict(trial_size.plots_wanted(12.0, 2, in_blocks=True))
    pairs = TTestPower().solve_power(20 / (12 * math.sqrt(2)), alpha=0.05, power=0.8)
    assert blocked["Plots to see 20 % between two"] == f"{math.ceil(pairs)} of each"


def test_a_layout_says_how_many_plots_it_would_take() -> None:
    plan = trial_plan.Plan(
        "T", "", "variety", ("A", "B"), trial_plan.TrialDesign.COMPLETELY_RANDOMISED, 4, 1,
        measure="fruit_plant", usual_mean=12.0,
    )  # fmt: skip
    headings = [heading for heading, _text in trial_plan.detectable(plan).explained()]
    assert "Plots to see 10 % between two" in headings
    assert any("tell 12.0 from 9.6 fruit" in heading for heading in headings)


@pytest.mark.parametrize(
    ("text", "percent"),
    [
        ("HB 4", 9.0),
        ("hb1", 0.0),
        ("Horsfall-Barratt 12", 100.0),
        ("HB 13", None),
        ("HB", None),
        ("4", None),
    ],
)
def test_an_old_grade_is_the_middle_of_its_class(text: str, percent: float | None) -> None:
    """Horsfall & Barratt 1945: classes 0, 0-3, 3-6, 6-12, 12-25 %, and so on to 100; grade 4 lies between 6 and 12 %."""
    assert old_grades.percent_of(text) == percent


def test_the_curve_says_when_it_reaches_the_wire_and_when_it_never_does() -> None:
    """NIST StRD Rat42, logistic: 72.462237576 / (1 + exp(2.6180768402 - .067359200066 x)); 60 cm solved for x."""
    from test_trend import RAT42_CM, RAT42_DAYS, bay_with

    past = bay_with(RAT42_DAYS, RAT42_CM, 0.0)
    wired = [replace(past, house=replace(past.house, wire_height_m=height)) for height in (0.6, 0.9, None)]
    curve = trend.curve(past)
    reached, never, unknown = (trend.curve_figures(one, curve)["curve_wire_weeks"] for one in wired)
    day = (2.6180768402 - math.log(72.462237576 / 60 - 1)) / 0.067359200066
    assert reached.value == pytest.approx(day / 7, rel=1e-6)
    assert reached.low < reached.value < reached.high  # type: ignore[operator]
    assert never.value is None
    assert never.missing
    assert "not written down" in unknown.missing
