"""Whole trials: published sets in, tested or described out."""

import pytest

from bayround.agronomy.anova import Source, WhyNoAnova
from bayround.agronomy.trial import analyse_trial, plot_means
from bayround.agronomy.trial_checks import Scale
from bayround.agronomy.trial_result import (
    AnalysedTrial,
    DescribedTrial,
    Design,
    FactorMeans,
    Method,
    PlantReading,
    Plot,
)
from published_trials import INSECT_SPRAYS, OATS_PLOTS, PLANT_GROWTH, RICE_PLOTS


def one_way(groups: dict[str, list[float]]) -> list[Plot]:
    return [
        Plot(f"{name}{number}", name, float(value))
        for name, values in groups.items()
        for number, value in enumerate(values)
    ]


def rice(*lost: tuple[str, str]) -> list[Plot]:
    return [
        Plot(f"{block}-{rate}", rate, None if (block, rate) in lost else value, block=block)
        for block, rate, value in RICE_PLOTS
    ]


def oats() -> list[Plot]:
    return [Plot(f"{b}{v}{n}", n, value, block=b, whole=v) for b, v, n, value in OATS_PLOTS]


def analysed(*args: object, **options: object) -> AnalysedTrial:
    result = analyse_trial(*args, **options)  # type: ignore[arg-type]
    assert isinstance(result, AnalysedTrial)
    return result


def described(plots: list[Plot], design: Design = Design.COMPLETELY_RANDOMISED) -> DescribedTrial:
    result = analyse_trial(plots, design)
    assert isinstance(result, DescribedTrial)
    return result


def letter_sets(factor: FactorMeans) -> set[frozenset[str]]:
    letters = {mean.treatment: mean.letters for mean in factor.means}
    return {
        frozenset(name for name, own in letters.items() if letter in own)
        for letter in set("".join(letters.values()))
    }


def test_rice_seed_rates() -> None:
    """Gomez & Gomez 1984, chapter 2: F 2.17 not significant, CV 6.7 %; HSD 763.882132, blocking efficiency 1.634206."""
    trial = analysed(rice(), Design.BLOCKS)
    factor = trial.factors[0]
    assert trial.coefficient_of_variation_percent == pytest.approx(6.704258, abs=1e-6)
    assert trial.blocking_efficiency == pytest.approx(1.634206, abs=1e-6)
    assert factor.honest_difference == pytest.approx(763.882132, abs=1e-5)
    assert letter_sets(factor) == {frozenset(mean.treatment for mean in factor.means)}


def test_no_least_significant_difference_without_significant_f() -> None:
    """The same rice: LSD 501.136405 must not be used, and the highest and lowest means are farther apart than it."""
    factor = analysed(rice(), Design.BLOCKS, method=Method.LSD).factors[0]
    assert factor.least_difference is None
    assert factor.comparisons == ()
    assert {mean.letters for mean in factor.means} == {"a"}


def test_plant_growth_both_ways() -> None:
    """PlantGrowth: HSD .6912160514, LSD .5720126116, letters ctrl ab, trt1 b, trt2 a (R multcomp)."""
    factor = analysed(one_way(PLANT_GROWTH), Design.COMPLETELY_RANDOMISED).factors[0]
    assert factor.honest_difference == pytest.approx(0.6912160514, abs=1e-9)
    assert factor.least_difference == pytest.approx(0.5720126116, abs=1e-9)
    assert {mean.treatment: mean.letters for mean in factor.means} == {"ctrl": "ab", "trt1": "b", "trt2": "a"}
    protected = analysed(one_way(PLANT_GROWTH), Design.COMPLETELY_RANDOMISED, method=Method.LSD).factors[0]
    assert letter_sets(protected) == {frozenset({"ctrl", "trt1"}), frozenset({"ctrl", "trt2"})}


def test_interval_of_a_mean_uses_the_pooled_error() -> None:
    """PlantGrowth: mean ± 2.0518305165 sqrt(.3885959259 / 10), from R's lm; ctrl 5.032 (4.6275, 5.4365)."""
    mean = analysed(one_way(PLANT_GROWTH), Design.COMPLETELY_RANDOMISED).factors[0].means[0]
    half = 2.0518305165 * (0.3885959259 / 10) ** 0.5
    assert (mean.mean, mean.low, mean.high) == pytest.approx((5.032, 5.032 - half, 5.032 + half), abs=1e-9)


def test_insect_sprays_are_offered_the_root_scale_and_tested_on_it() -> None:
    """InsectSprays: raw letters {A,B,F} {C,D,E}, square roots {A,B,F} {D,E} {C,E}; means go back by squaring."""
    plots = one_way(INSECT_SPRAYS)
    raw = analysed(plots, Design.COMPLETELY_RANDOMISED, values_are_counts=True)
    assert raw.checks.better_scale is Scale.SQUARE_ROOT
    assert letter_sets(raw.factors[0]) == {frozenset("ABF"), frozenset("CDE")}
    root = analysed(plots, Design.COMPLETELY_RANDOMISED, scale=Scale.SQUARE_ROOT, values_are_counts=True)
    assert root.lines[0].f == pytest.approx(44.79933, abs=5e-6)
    assert letter_sets(root.factors[0]) == {frozenset("ABF"), frozenset("DE"), frozenset("CE")}
    first = root.factors[0].means[0]
    assert first.back_mean == pytest.approx(first.mean**2)
    assert first.back_low < first.back_mean < first.back_high
    assert root.checks.better_scale is None
    assert root.coefficient_of_variation_percent is None


def test_oats_as_a_split_plot() -> None:
    """Yates 1935: varieties F 1.485340 against whole plots (not 3.513427), nitrogen F 37.685647; no interaction."""
    trial = analysed(oats(), Design.SPLIT_PLOT)
    variety, nitrogen = trial.factors
    assert variety.line.f == pytest.approx(1.485340, abs=1e-6)
    assert variety.line.tested_against is Source.WHOLE_PLOT_ERROR
    assert {mean.letters for mean in variety.means} == {"a"}
    assert nitrogen.line.f == pytest.approx(37.685647, abs=1e-6)
    # q(.95; 4, 45) sqrt(177.083333 / 18) and q(.95; 3, 10) sqrt(601.330556 / 24): tables of the studentized range
    assert nitrogen.honest_difference == pytest.approx(3.7727 * (177.0833333 / 18) ** 0.5, abs=2e-3)
    assert variety.honest_difference == pytest.approx(3.8768 * (601.3305556 / 24) ** 0.5, abs=2e-3)
    # error of a nitrogen mean: both errors are in it, (601.330556 + 3 x 177.083333) / (6 x 4 x 3)
    assert nitrogen.means[0].standard_error == pytest.approx((1132.580556 / 72) ** 0.5, abs=1e-6)
    assert variety.means[0].standard_error == pytest.approx((601.330556 / 24) ** 0.5, abs=1e-6)
    assert letter_sets(nitrogen) == {frozenset({"0.4", "0.6"}), frozenset({"0.2"}), frozenset({"0.0"})}


def test_interaction_brings_comparisons_within_each_whole_plot_treatment() -> None:
    """Made: the same oats with the nitrogen response turned round for one variety."""
    turned = [
        Plot(
            p.name,
            f"{0.6 - float(p.treatment):.1f}" if p.whole == "V" else p.treatment,
            p.value,
            p.block,
            p.whole,
        )
        for p in oats()
    ]
    trial = analysed(turned, Design.SPLIT_PLOT)
    assert [factor.within for factor in trial.factors] == [None, None, "G", "M", "V"]
    inside = trial.factors[2]
    assert inside.line.source is Source.INTERACTION
    # q sqrt(MS error / blocks), MS error from the analysis itself
    error = next(line for line in trial.lines if line.source is Source.ERROR)
    assert inside.honest_difference == pytest.approx(3.7727 * (error.mean_square / 6) ** 0.5, rel=1e-4)


def test_missing_plot_in_blocks_is_said_and_analysed() -> None:
    """The rice with one plot lost: statsmodels gives treatment SS 1220201.2, error SS 1636473.766667 on 14."""
    trial = analysed(rice(("R1", "100")), Design.BLOCKS)
    assert trial.plots_missing == ("R1-100",)
    assert trial.plots_used == 23
    assert trial.lines[1].sum_of_squares == pytest.approx(1220201.2, abs=1e-3)
    assert trial.lines[2].sum_of_squares == pytest.approx(1636473.766667, abs=1e-3)
    assert trial.lines[2].degrees_of_freedom == 14
    assert trial.blocking_efficiency is None
    assert trial.factors[0].honest_difference is None


def test_missing_plot_in_a_split_plot_is_described_not_tested() -> None:
    plots = oats()
    plots[5] = Plot(plots[5].name, plots[5].treatment, None, plots[5].block, plots[5].whole)
    result = described(plots, Design.SPLIT_PLOT)
    assert result.reason is WhyNoAnova.SPLIT_PLOT_INCOMPLETE
    assert result.plots_missing == (plots[5].name,)


def test_treatment_that_lost_all_its_plots_is_named() -> None:
    plots = [*one_way(PLANT_GROWTH), Plot("x1", "gone", None), Plot("x2", "gone", None)]
    trial = analysed(plots, Design.COMPLETELY_RANDOMISED)
    assert trial.treatments_lost == ("gone",)


def test_plants_of_one_house_each_are_described_not_tested() -> None:
    """Hurlbert 1984: one house a treatment is no replicate. PlantGrowth as if each group were one house's plants.

    The interval is Welch's, of the plants inside those houses (scipy.stats.ttest_ind), and there is no p-value.
    """
    from scipy.stats import ttest_ind

    plants = [
        PlantReading(f"house {name}", name, value) for name, each in PLANT_GROWTH.items() for value in each
    ]
    plots = plot_means(plants)
    assert [plot.plants for plot in plots] == [10, 10, 10]
    result = described(list(plots))
    assert result.reason is WhyNoAnova.NO_REPLICATION
    assert not hasattr(result.differences[0], "p_value")
    pair = next(each for each in result.differences if (each.first, each.second) == ("trt1", "trt2"))
    expected = ttest_ind(PLANT_GROWTH["trt1"], PLANT_GROWTH["trt2"], equal_var=False).confidence_interval(
        0.95
    )
    assert (pair.low, pair.high) == pytest.approx((expected.low, expected.high), rel=1e-9)


def test_plants_taken_for_plots_would_not_pass() -> None:
    """Taken as plots, the same 30 plants would give F 4.846, p .0159: the false answer that is refused above."""
    assert analysed(one_way(PLANT_GROWTH), Design.COMPLETELY_RANDOMISED).lines[0].p_value == pytest.approx(
        0.01591, abs=1e-5
    )


def test_single_plots_without_plants_have_no_interval() -> None:
    result = described([Plot("1", "A", 4.0), Plot("2", "B", 6.0)])
    assert (result.differences[0].difference, result.differences[0].low) == (-2.0, None)


def test_smallest_difference_is_larger_than_what_was_significant() -> None:
    """To find a difference four times in five, it has to be larger than the one that is just significant."""
    factor = analysed(rice(), Design.BLOCKS).factors[0]
    assert factor.honest_difference is not None
    assert factor.smallest_detectable_difference > factor.honest_difference


def test_plot_without_any_reading_stays_as_missing() -> None:
    plots = plot_means(
        [PlantReading("1", "A", None), PlantReading("2", "B", 3.0), PlantReading("2", "B", None)]
    )
    assert [(plot.value, plot.plants) for plot in plots] == [(None, 0), (3.0, 1)]


@pytest.mark.parametrize(
    ("plots", "design"),
    [
        ([Plot("1", "A", 1.0), Plot("1", "B", 2.0)], Design.COMPLETELY_RANDOMISED),
        ([Plot("1", "A", 1.0, block="x")], Design.COMPLETELY_RANDOMISED),
        ([Plot("1", "A", 1.0)], Design.BLOCKS),
        ([Plot("1", "A", 1.0, block="x")], Design.SPLIT_PLOT),
        ([Plot("1", "A", 1.0, block="x", whole="w")], Design.BLOCKS),
        ([Plot("1", "A", float("inf"))], Design.COMPLETELY_RANDOMISED),
        ([Plot("1", "A", None)], Design.COMPLETELY_RANDOMISED),
    ],
)
def test_plots_that_do_not_fit_the_design_are_refused(plots: list[Plot], design: Design) -> None:
    with pytest.raises(ValueError):
        analyse_trial(plots, design)


def test_plot_with_two_treatments_is_refused() -> None:
    with pytest.raises(ValueError, match="more than one treatment"):
        plot_means([PlantReading("1", "A", 1.0), PlantReading("1", "B", 2.0)])


def test_only_the_plain_scale_is_offered_another() -> None:
    """Made: spread 30 % of the mean. Offered the logarithm at first; once on another scale, nothing more is offered."""
    groups = {
        name: [level * each for each in (0.7, 0.9, 1.0, 1.1, 1.3)]
        for name, level in zip("ABCD", (10, 40, 160, 640), strict=True)
    }
    plain = analysed(one_way(groups), Design.COMPLETELY_RANDOMISED, values_are_counts=True)
    assert plain.checks.better_scale is Scale.LOGARITHM
    root = analysed(
        one_way(groups), Design.COMPLETELY_RANDOMISED, scale=Scale.SQUARE_ROOT, values_are_counts=True
    )
    assert root.checks.better_scale is None
