"""Analysis of variance against NIST certificates, a handbook table and statsmodels."""

import re
from importlib.resources import files

import pytest

from bayround.agronomy.anova import (
    AnovaLine,
    LayoutFit,
    NoAnovaError,
    Source,
    WhyNoAnova,
    efficiency_of_blocking,
    fit_layout,
)
from published_trials import INSECT_SPRAYS, PLANT_GROWTH, RICE_PLOTS, long_form


def line_of(fit: LayoutFit, source: Source) -> AnovaLine:
    return next(line for line in fit.lines if line.source is source)


def read_nist(name: str) -> tuple[list[float], list[str], float]:
    """Values, treatments and the certified F of a NIST StRD file (shipped inside scipy)."""
    text = (files("scipy") / "stats" / "tests" / "data" / "nist_anova" / f"{name}.dat").read_text()
    rows = text.splitlines()
    certified = next(row for row in rows if row.startswith("Between"))
    first = int(re.search(r"Data\s+\(lines\s+(\d+)", text).group(1))  # type: ignore[union-attr]
    pairs = [row.split() for row in rows[first - 1 :] if row.strip()]
    return [float(pair[1]) for pair in pairs], [pair[0] for pair in pairs], float(certified.split()[-1])


@pytest.mark.parametrize(
    ("name", "tolerance"),
    [
        ("SiRstv", 1e-12),
        ("AtmWtAg", 1e-9),
        ("SmLs01", 1e-13),
        ("SmLs02", 1e-12),
        ("SmLs03", 1e-11),
        ("SmLs04", 1e-9),
        ("SmLs05", 1e-9),
        ("SmLs06", 1e-9),
        ("SmLs07", 1e-3),
        ("SmLs08", 1e-3),
        ("SmLs09", 1e-3),
    ],
)
def test_nist_certified_f(name: str, tolerance: float) -> None:
    """NIST Statistical Reference Datasets, one-way ANOVA. SmLs07-09 have 13 equal leading digits: 4 can survive."""
    values, treatments, certified = read_nist(name)
    assert fit_layout(values, treatments).treatment_line.f == pytest.approx(certified, rel=tolerance)


def test_nist_silicon_resistivity_in_full() -> None:
    """NIST SiRstv certificate: every certified figure, 9 digits or more."""
    values, treatments, _ = read_nist("SiRstv")
    fit = fit_layout(values, treatments)
    between, within = fit.treatment_line, fit.error_line
    assert (between.degrees_of_freedom, within.degrees_of_freedom) == (4, 20)
    assert between.sum_of_squares == pytest.approx(5.11462616000000e-02, rel=1e-10)
    assert within.sum_of_squares == pytest.approx(2.16636560000000e-01, rel=1e-10)
    assert within.mean_square**0.5 == pytest.approx(1.04076068334656e-01, rel=1e-10)
    share = between.sum_of_squares / (between.sum_of_squares + within.sum_of_squares)
    assert share == pytest.approx(1.90999039051129e-01, rel=1e-10)


def test_plant_growth() -> None:
    """PlantGrowth (Dobson 1983) as R's aov gives it."""
    fit = fit_layout(*long_form(PLANT_GROWTH))
    assert fit.treatment_line.f == pytest.approx(4.8460878624, rel=1e-10)
    assert fit.treatment_line.p_value == pytest.approx(0.0159099583, rel=1e-8)
    assert fit.error_line.mean_square == pytest.approx(0.3885959259, rel=1e-9)


def test_insect_sprays() -> None:
    """InsectSprays (Beall 1942), counts and their square roots, as R's aov gives them."""
    values, treatments = long_form(INSECT_SPRAYS)
    plain, root = fit_layout(values, treatments), fit_layout([value**0.5 for value in values], treatments)
    assert plain.treatment_line.f == pytest.approx(34.7022820555, rel=1e-11)
    assert plain.error_line.mean_square == pytest.approx(15.3813131313, rel=1e-11)
    assert root.treatment_line.f == pytest.approx(44.7993292051, rel=1e-11)
    assert root.error_line.mean_square == pytest.approx(0.3948178420, rel=1e-9)
    assert plain.treatment_line.p_value == pytest.approx(3.1826e-17, rel=1e-4)
    assert root.treatment_line.p_value == pytest.approx(6.3345e-20, rel=1e-4)


def test_unequal_sizes_agree_with_scipy() -> None:
    """Second implementation: scipy.stats.f_oneway on groups of 4, 7 and 10 plots."""
    from scipy.stats import f_oneway

    uneven = {name: each[:size] for (name, each), size in zip(PLANT_GROWTH.items(), (4, 7, 10), strict=True)}
    line = fit_layout(*long_form(uneven)).treatment_line
    expected = f_oneway(*uneven.values())
    assert line.f == pytest.approx(expected.statistic, rel=1e-12)
    assert line.p_value == pytest.approx(expected.pvalue, rel=1e-10)


def rice(*, leave_out: frozenset[tuple[str, str]] = frozenset()) -> LayoutFit:
    plots = [plot for plot in RICE_PLOTS if plot[:2] not in leave_out]
    return fit_layout([p[2] for p in plots], [p[1] for p in plots], [p[0] for p in plots])


def test_rice_seed_rates_in_blocks() -> None:
    """Gomez & Gomez 1984, chapter 2 (F 2.17 not significant); full digits as R's aov gives them."""
    fit = rice()
    blocks, rates, error = line_of(fit, Source.BLOCKS), fit.treatment_line, fit.error_line
    assert (blocks.degrees_of_freedom, rates.degrees_of_freedom, error.degrees_of_freedom) == (3, 5, 15)
    assert blocks.sum_of_squares == pytest.approx(1944360.833333, abs=1e-5)
    assert rates.sum_of_squares == pytest.approx(1198330.833333, abs=1e-5)
    assert error.sum_of_squares == pytest.approx(1658376.166667, abs=1e-5)
    assert error.mean_square == pytest.approx(110558.411111, abs=1e-5)
    assert blocks.f == pytest.approx(5.862243, abs=1e-6)
    assert blocks.p_value == pytest.approx(0.007416, abs=1e-6)
    assert rates.f == pytest.approx(2.167779, abs=1e-6)
    assert rates.p_value == pytest.approx(0.112809, abs=1e-6)
    assert efficiency_of_blocking(fit) == pytest.approx(1.634206, abs=1e-6)


def test_forgetting_the_blocks_would_not_pass() -> None:
    """Left in the error, the blocks would hide what little there is: F 1.197 instead of 2.168."""
    without = fit_layout([p[2] for p in RICE_PLOTS], [p[1] for p in RICE_PLOTS])
    assert without.treatment_line.f == pytest.approx(1.197, abs=1e-3)
    assert abs(without.treatment_line.f - (rice().treatment_line.f or 0)) > 0.9
    assert efficiency_of_blocking(without) is None


@pytest.mark.parametrize(
    "lost",
    [
        frozenset({("R1", "100")}),
        frozenset({("R1", "25"), ("R3", "150"), ("R4", "25")}),
    ],
)
def test_missing_plots_agree_with_statsmodels(lost: frozenset[tuple[str, str]]) -> None:
    """Second implementation: statsmodels, blocks first and treatments adjusted for them; adjusted means too."""
    import pandas as pd
    import statsmodels.formula.api as smf
    from statsmodels.stats.anova import anova_lm

    fit = rice(leave_out=lost)
    plots = [plot for plot in RICE_PLOTS if plot[:2] not in lost]
    frame = pd.DataFrame(plots, columns=["block", "rate", "y"])
    model = smf.ols("y ~ C(block) + C(rate)", frame).fit()
    table = anova_lm(model, typ=1)
    for source, name in (
        (Source.BLOCKS, "C(block)"),
        (Source.TREATMENT, "C(rate)"),
        (Source.ERROR, "Residual"),
    ):
        assert line_of(fit, source).sum_of_squares == pytest.approx(table.loc[name, "sum_sq"], rel=1e-9)
        assert line_of(fit, source).degrees_of_freedom == table.loc[name, "df"]
    blocks = sorted(set(frame["block"]))
    for rate, mean in zip(fit.treatments, fit.means, strict=True):
        expected = model.predict(pd.DataFrame({"block": blocks, "rate": rate})).mean()
        assert mean == pytest.approx(expected, rel=1e-10)
    first, second = fit.treatments.index("75"), fit.treatments.index("150")
    contrast = model.t_test("C(rate)[T.75] - C(rate)[T.150] = 0")
    covariance = fit.mean_covariance
    variance = covariance[first][first] + covariance[second][second] - 2 * covariance[first][second]
    assert (fit.error_line.mean_square * variance) ** 0.5 == pytest.approx(
        float(contrast.sd.item()), rel=1e-9
    )
    assert efficiency_of_blocking(fit) is None


def test_one_missing_plot_agrees_with_yates() -> None:
    """Yates 1933 (Empire Journal of Experimental Agriculture 1:129-142): the value (r B + t T - G) / ((r-1)(t-1)),
    put in the gap, leaves the least-squares error sum of squares unchanged."""
    plots = [plot for plot in RICE_PLOTS if plot[:2] != ("R1", "100")]
    of_block = sum(p[2] for p in plots if p[0] == "R1")
    of_rate = sum(p[2] for p in plots if p[1] == "100")
    put_in = (4 * of_rate * 6 / 4 + 4 * of_block - sum(p[2] for p in plots)) / (3 * 5)
    filled = [(p[0], p[1], put_in if p[:2] == ("R1", "100") else p[2]) for p in RICE_PLOTS]
    full = fit_layout([p[2] for p in filled], [p[1] for p in filled], [p[0] for p in filled])
    fit = rice(leave_out=frozenset({("R1", "100")}))
    assert fit.error_line.sum_of_squares == pytest.approx(full.error_line.sum_of_squares, rel=1e-10)
    assert fit.error_line.degrees_of_freedom == full.error_line.degrees_of_freedom - 1
    assert dict(zip(fit.treatments, fit.means, strict=True)) == pytest.approx(
        dict(zip(full.treatments, full.means, strict=True)), rel=1e-10
    )


@pytest.mark.parametrize(
    ("values", "treatments", "blocks", "reason"),
    [
        ([1, 2, 3], ["A", "A", "A"], None, WhyNoAnova.ONE_TREATMENT),
        ([1, 2], ["A", "B"], None, WhyNoAnova.NO_REPLICATION),
        ([1, 2, 4], ["A", "B", "B"], ["1", "1", "2"], WhyNoAnova.NO_ERROR_LEFT),
        ([1, 2, 3, 4, 5, 6], list("AABBAB"), ["1", "1", "2", "2", "1", "2"], WhyNoAnova.NOT_CONNECTED),
        ([1, 2, 3, 5], list("AABB"), ["1", "1", "1", "1"], WhyNoAnova.ONE_BLOCK),
        ([5, 5, 7, 7], list("AABB"), None, WhyNoAnova.NO_SPREAD),
        ([5, 6, 7, 8], list("ABAB"), ["1", "1", "2", "2"], WhyNoAnova.NO_SPREAD),
    ],
)
def test_layouts_that_cannot_answer(
    values: list[float], treatments: list[str], blocks: list[str] | None, reason: WhyNoAnova
) -> None:
    """The layout decides what may be tested (Hurlbert 1984): no replication, no test."""
    with pytest.raises(NoAnovaError) as refusal:
        fit_layout(values, treatments, blocks)
    assert refusal.value.reason is reason


@pytest.mark.parametrize(
    ("values", "treatments", "blocks"),
    [
        ([1.0], ["A", "B"], None),
        ([1.0, float("nan"), 2.0], ["A", "A", "B"], None),
    ],
)
def test_impossible_input_is_refused(
    values: list[float], treatments: list[str], blocks: list[str] | None
) -> None:
    with pytest.raises(ValueError):
        fit_layout(values, treatments, blocks)
