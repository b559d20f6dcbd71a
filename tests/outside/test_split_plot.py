"""Split plot against Yates's oats: the error term is the point."""

import pytest

from bayround.agronomy.anova import NoAnovaError, Source, WhyNoAnova, fit_layout
from bayround.agronomy.split_plot import SplitPlotFit, fit_split_plot
from published_trials import OATS_PLOTS


def fit_oats(leave_out: int = 0) -> SplitPlotFit:
    plots = OATS_PLOTS[leave_out:]
    return fit_split_plot(
        [p[3] for p in plots], [p[0] for p in plots], [p[1] for p in plots], [p[2] for p in plots]
    )


def test_yates_oats() -> None:
    """Yates 1935 (MASS oats), as R's aov with Error(B/V) gives it."""
    fit = fit_oats()
    whole, error_a = fit.line(Source.WHOLE_PLOT), fit.line(Source.WHOLE_PLOT_ERROR)
    assert whole.sum_of_squares == pytest.approx(1786.361111, abs=1e-6)
    assert error_a.sum_of_squares == pytest.approx(6013.305556, abs=1e-6)
    assert (whole.degrees_of_freedom, error_a.degrees_of_freedom) == (2, 10)
    assert whole.f == pytest.approx(1.485340, abs=1e-6)
    assert whole.p_value == pytest.approx(0.272387, abs=1e-6)
    assert whole.tested_against is Source.WHOLE_PLOT_ERROR
    nitrogen = fit.line(Source.SUB_PLOT)
    assert nitrogen.sum_of_squares == pytest.approx(20020.5, abs=1e-6)
    assert nitrogen.f == pytest.approx(37.685647, abs=1e-6)
    assert nitrogen.p_value == pytest.approx(2.4577e-12, rel=1e-4)
    both, error = fit.line(Source.INTERACTION), fit.line(Source.ERROR)
    assert both.sum_of_squares == pytest.approx(321.75, abs=1e-6)
    assert both.f == pytest.approx(0.302824, abs=1e-6)
    assert both.p_value == pytest.approx(0.9322, abs=5e-5)
    assert error.sum_of_squares == pytest.approx(7968.75, abs=1e-6)
    assert error.degrees_of_freedom == 45


def test_wrong_error_term_would_not_pass() -> None:
    """All 72 sub-plots taken as replicates give F 3.513427, p .036646 for the varieties: pseudo-replication."""
    fit = fit_oats()
    whole, error = fit.line(Source.WHOLE_PLOT), fit.line(Source.ERROR)
    pooled = (6013.305556 + 7968.75) / (10 + 45)
    assert whole.mean_square / pooled == pytest.approx(3.513427, abs=1e-6)
    assert whole.f is not None
    assert whole.f < 2 < whole.mean_square / pooled
    assert whole.mean_square / error.mean_square > 5


def test_whole_plot_means_give_the_same_answer() -> None:
    """Averaged to 18 whole plots, block + variety gives the same F: bay means, not plants, are the replicates."""
    together: dict[tuple[str, str], list[float]] = {}
    for block, variety, _, value in OATS_PLOTS:
        together.setdefault((block, variety), []).append(value)
    fit = fit_layout(
        [sum(each) / 4 for each in together.values()],
        [variety for _, variety in together],
        [block for block, _ in together],
    )
    assert fit.treatment_line.f == pytest.approx(1.485340, abs=1e-6)
    assert fit.treatment_line.f == pytest.approx(fit_oats().line(Source.WHOLE_PLOT).f, rel=1e-12)


def test_residuals_and_sums_agree_with_statsmodels() -> None:
    """Second implementation: the same strata as one linear model in statsmodels."""
    import pandas as pd
    import statsmodels.formula.api as smf
    from statsmodels.stats.anova import anova_lm

    frame = pd.DataFrame(OATS_PLOTS, columns=["b", "v", "n", "y"])
    model = smf.ols("y ~ C(b)*C(v) + C(n) + C(v):C(n)", frame).fit()
    table = anova_lm(model, typ=1)
    fit = fit_oats()
    for source, name in (
        (Source.BLOCKS, "C(b)"),
        (Source.WHOLE_PLOT, "C(v)"),
        (Source.WHOLE_PLOT_ERROR, "C(b):C(v)"),
        (Source.SUB_PLOT, "C(n)"),
        (Source.INTERACTION, "C(v):C(n)"),
        (Source.ERROR, "Residual"),
    ):
        assert fit.line(source).sum_of_squares == pytest.approx(table.loc[name, "sum_sq"], rel=1e-9), name
    assert list(fit.residuals) == pytest.approx(model.resid.tolist(), abs=1e-9)


def test_variance_of_a_cell_mean() -> None:
    """Whole-plot error 601.330556 and error 177.083333 (above), 6 blocks, 4 sub-plots; Satterthwaite's degrees by hand."""
    fit = fit_oats()
    parts = (601.3305555556, 3 * 177.0833333333)
    assert fit.mean_variance_cell == pytest.approx(sum(parts) / 24, rel=1e-10)
    assert fit.mean_degrees == pytest.approx(
        sum(parts) ** 2 / (parts[0] ** 2 / 10 + parts[1] ** 2 / 45), rel=1e-10
    )


def test_a_missing_plot_is_refused() -> None:
    with pytest.raises(NoAnovaError) as refusal:
        fit_oats(leave_out=1)
    assert refusal.value.reason is WhyNoAnova.SPLIT_PLOT_INCOMPLETE


@pytest.mark.parametrize(
    ("plots", "reason"),
    [
        ([p for p in OATS_PLOTS if p[0] == "0"], WhyNoAnova.NO_REPLICATION),
        ([p for p in OATS_PLOTS if p[1] == "G"], WhyNoAnova.ONE_TREATMENT),
        ([(b, w, n, 1.0 if w == "G" else 2.0) for b, w, n, _ in OATS_PLOTS], WhyNoAnova.NO_SPREAD),
    ],
)
def test_layouts_that_cannot_answer(plots: list[tuple[str, str, str, float]], reason: WhyNoAnova) -> None:
    with pytest.raises(NoAnovaError) as refusal:
        fit_split_plot(
            [p[3] for p in plots], [p[0] for p in plots], [p[1] for p in plots], [p[2] for p in plots]
        )
    assert refusal.value.reason is reason


def test_two_plots_in_one_place_are_refused() -> None:
    plots = [*OATS_PLOTS, OATS_PLOTS[0]]
    with pytest.raises(ValueError, match="same block"):
        fit_split_plot(
            [p[3] for p in plots], [p[0] for p in plots], [p[1] for p in plots], [p[2] for p in plots]
        )
