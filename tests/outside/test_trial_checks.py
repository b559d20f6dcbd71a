"""Residual checks against published test values, scipy and statsmodels."""

import math

import pytest

from bayround.agronomy.anova import fit_layout
from bayround.agronomy.split_plot import fit_split_plot
from bayround.agronomy.trial_checks import (
    ResidualChecks,
    Scale,
    check_residuals,
    from_scale,
    spread_slope,
    to_scale,
)
from published_trials import INSECT_SPRAYS, OATS_PLOTS, RICE_PLOTS, long_form


def checks_of(
    values: list[float], treatments: list[str], blocks: list[str] | None = None, *, counts: bool = False
) -> ResidualChecks:
    fit = fit_layout(values, treatments, blocks)
    return check_residuals(
        values,
        fit.residuals,
        fit.leverages,
        treatments,
        error_degrees=fit.error_line.degrees_of_freedom,
        values_are_counts=counts,
    )


def test_insect_sprays_spread_unequally() -> None:
    """InsectSprays: Levene about medians 3.8213563132, p .0042227911 (R car::leveneTest, scipy.stats.levene)."""
    found = checks_of(*long_form(INSECT_SPRAYS))
    assert found.levene_f == pytest.approx(3.8213563132, abs=1e-9)
    assert found.levene_p_value == pytest.approx(0.0042227911, abs=1e-9)
    assert found.spread_unequal
    assert found.better_scale is Scale.SQUARE_ROOT


def test_insect_sprays_spread_against_mean() -> None:
    """Second implementation: scipy.stats.linregress of ln(sd) on ln(mean) over the six sprays."""
    from statistics import mean, stdev

    from scipy.stats import linregress

    means = [mean(each) for each in INSECT_SPRAYS.values()]
    deviations = [stdev(each) for each in INSECT_SPRAYS.values()]
    expected = linregress([math.log(m) for m in means], [math.log(s) for s in deviations]).slope
    assert spread_slope(means, deviations) == pytest.approx(expected, rel=1e-10)
    assert checks_of(*long_form(INSECT_SPRAYS)).spread_slope == pytest.approx(expected, rel=1e-10)


def test_bartlett_1947_rules() -> None:
    """Bartlett 1947: variance as the mean asks for the root, deviation as the mean for the logarithm."""
    means = [2.0, 5.0, 11.0, 30.0]
    assert spread_slope(means, [m**0.5 for m in means]) == pytest.approx(0.5)
    assert spread_slope(means, [0.3 * m for m in means]) == pytest.approx(1.0)
    assert spread_slope(means, [3.0] * 4) == pytest.approx(0.0, abs=1e-12)
    assert spread_slope(means[:2], [1.0, 2.0]) is None
    assert spread_slope([5.0, 5.0, 5.0], [1.0, 2.0, 3.0]) is None


def test_proportional_spread_is_offered_the_logarithm() -> None:
    """Made: deviation 30 % of the mean throughout; with zeros among them, ln(x + 1)."""
    pattern = [0.7, 0.9, 1.0, 1.1, 1.3]
    values = [level * each for level in (10.0, 40.0, 160.0, 640.0) for each in pattern]
    treatments = [name for name in "ABCD" for _ in pattern]
    assert checks_of(values, treatments, counts=True).better_scale is Scale.LOGARITHM
    with_zero = [0.0, *values[1:]]
    assert checks_of(with_zero, treatments, counts=True).better_scale in (
        Scale.LOGARITHM_PLUS_ONE,
        Scale.SQUARE_ROOT,
    )
    assert from_scale(to_scale([0.0], Scale.LOGARITHM_PLUS_ONE)[0], Scale.LOGARITHM_PLUS_ONE) == 0


def test_even_spread_is_left_alone() -> None:
    """Gomez rice seed rates, no sign of unequal spread (Levene on residuals, scipy)."""
    from scipy.stats import levene

    values, treatments, blocks = (
        [p[2] for p in RICE_PLOTS],
        [p[1] for p in RICE_PLOTS],
        [p[0] for p in RICE_PLOTS],
    )
    found = checks_of(values, treatments, blocks)
    residuals = fit_layout(values, treatments, blocks).residuals
    groups = [
        [r for r, t in zip(residuals, treatments, strict=True) if t == name]
        for name in dict.fromkeys(treatments)
    ]
    assert found.levene_f == pytest.approx(levene(*groups, center="median").statistic, rel=1e-10)
    assert not found.spread_unequal
    assert found.better_scale is None


def test_normality_agrees_with_scipy() -> None:
    """scipy.stats.shapiro on the residuals of InsectSprays."""
    from scipy.stats import shapiro

    values, treatments = long_form(INSECT_SPRAYS)
    residuals = fit_layout(values, treatments).residuals
    assert checks_of(values, treatments).shapiro_p_value == pytest.approx(shapiro(residuals).pvalue, rel=1e-9)


@pytest.mark.parametrize("blocked", [False, True])
def test_odd_plot_agrees_with_statsmodels(blocked: bool) -> None:
    """Second implementation: statsmodels' outlier test (deleted residuals, Bonferroni), with and without blocks."""
    import pandas as pd
    import statsmodels.formula.api as smf

    values, treatments = long_form(INSECT_SPRAYS)
    blocks = [str(place % 12) for place in range(len(values))] if blocked else None
    frame = pd.DataFrame({"y": values, "t": treatments, "b": blocks or "none"})
    model = smf.ols("y ~ C(t) + C(b)" if blocked else "y ~ C(t)", frame).fit()
    expected = model.outlier_test("bonferroni")
    found = checks_of(values, treatments, blocks)
    assert found.odd_plot == int(expected["student_resid"].abs().idxmax())
    assert found.odd_plot_p_value == pytest.approx(float(expected["bonferroni(p)"].min()), rel=1e-7)


def test_leverage_of_a_split_plot_is_even() -> None:
    """Yates oats as one linear model in statsmodels: every plot has leverage 1 - 45/72, as the analysis takes it."""
    import pandas as pd
    import statsmodels.formula.api as smf

    frame = pd.DataFrame(OATS_PLOTS, columns=["b", "v", "n", "y"])
    influence = smf.ols("y ~ C(b)*C(v) + C(n) + C(v):C(n)", frame).fit().get_influence()
    assert influence.hat_matrix_diag == pytest.approx([1 - 45 / 72] * 72, abs=1e-10)
    fit = fit_split_plot(*([p[place] for p in OATS_PLOTS] for place in (3, 0, 1, 2)))  # type: ignore[arg-type]
    found = check_residuals(
        [p[3] for p in OATS_PLOTS],
        fit.residuals,
        [1 - 45 / 72] * 72,
        [p[1] + p[2] for p in OATS_PLOTS],
        error_degrees=45,
    )
    assert found.odd_plot == int(abs(influence.resid_studentized_external).argmax())


def test_one_wild_plot_is_found() -> None:
    values, treatments = long_form(INSECT_SPRAYS)
    values[30] = 70.0
    found = checks_of(values, treatments)
    assert found.odd_plot == 30
    assert found.odd_plot_p_value is not None
    assert found.odd_plot_p_value < 1e-6


@pytest.mark.parametrize("scale", list(Scale))
def test_scales_go_there_and_back(scale: Scale) -> None:
    values = [0.5, 3.0, 17.25]
    assert [from_scale(each, scale) for each in to_scale(values, scale)] == pytest.approx(values, rel=1e-12)


def test_scales_by_hand() -> None:
    assert to_scale([16.0], Scale.SQUARE_ROOT) == [4.0]
    assert to_scale([math.e], Scale.LOGARITHM) == [pytest.approx(1.0)]
    assert to_scale([0.0], Scale.LOGARITHM_PLUS_ONE) == [0.0]
    assert from_scale(-0.3, Scale.SQUARE_ROOT) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: to_scale([-1.0], Scale.SQUARE_ROOT),
        lambda: to_scale([0.0], Scale.LOGARITHM),
        lambda: to_scale([-1.0], Scale.LOGARITHM_PLUS_ONE),
        lambda: to_scale([float("nan")], Scale.PLAIN),
        lambda: check_residuals([], [], [], [], error_degrees=3),
        lambda: check_residuals([1.0], [0.0, 1.0], [0.5], ["A"], error_degrees=3),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
