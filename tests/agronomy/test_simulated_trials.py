"""Error rates of the trial analysis on simulated trials without any true difference."""

import numpy as np
import pytest

from bayround.agronomy import comparisons
from bayround.agronomy.anova import NoAnovaError, fit_layout
from bayround.agronomy.comparisons import significant_pairs, tukey_comparisons
from bayround.agronomy.split_plot import fit_split_plot

TRIALS = 1500


@pytest.fixture
def without_p_values(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out the p-values, which cost time; what is significant is decided by the intervals, which stay."""
    monkeypatch.setattr(comparisons, "chance_range_above", lambda value, groups, degrees: 0.5)


def false_family(values: list[float], treatments: list[str], blocks: list[str] | None) -> bool:
    fit = fit_layout(values, treatments, blocks)
    error = fit.error_line
    return bool(
        significant_pairs(
            tukey_comparisons(
                fit.treatments,
                fit.means,
                fit.mean_covariance,
                error_mean_square=error.mean_square,
                error_degrees=error.degrees_of_freedom,
            )
        )
    )


@pytest.mark.usefixtures("without_p_values")
def test_tukey_family_error_completely_randomised() -> None:
    """Five treatments on four plots each: one false difference or more in 5 % ± 1 % of the trials."""
    source = np.random.default_rng(53)
    treatments = [name for name in "ABCDE" for _ in range(4)]
    false = [false_family(source.normal(50, 8, 20).tolist(), treatments, None) for _ in range(TRIALS)]
    assert abs(np.mean(false) - 0.05) <= 0.01


@pytest.mark.usefixtures("without_p_values")
def test_tukey_family_error_in_blocks() -> None:
    """Four treatments in five blocks that differ: 5 % ± 1 %."""
    source = np.random.default_rng(1956)
    treatments, blocks = list("ABCD") * 5, [str(block) for block in range(5) for _ in range(4)]
    false = []
    for _ in range(TRIALS):
        values = source.normal(50, 8, 20) + np.repeat(source.normal(0, 10, 5), 4)
        false.append(false_family(values.tolist(), treatments, blocks))
    assert abs(np.mean(false) - 0.05) <= 0.01


@pytest.mark.usefixtures("without_p_values")
def test_tukey_family_error_with_unequal_sizes_and_lost_plots() -> None:
    """Kramer's form is at most 5 % (Hayter 1984, Annals of Statistics 12:61-75), here with 2 to 8 plots; blocks too."""
    source = np.random.default_rng(1984)
    uneven = [name for name, size in zip("ABCD", (2, 4, 6, 8), strict=True) for _ in range(size)]
    false = [false_family(source.normal(50, 8, 20).tolist(), uneven, None) for _ in range(TRIALS)]
    assert 0.03 <= np.mean(false) <= 0.06
    treatments, blocks = (list("ABCD") * 5)[2:], [str(block) for block in range(5) for _ in range(4)][2:]
    lost = [false_family(source.normal(50, 8, 18).tolist(), treatments, blocks) for _ in range(TRIALS)]
    assert 0.03 <= np.mean(lost) <= 0.06


def test_split_plot_keeps_its_level_where_sub_plots_as_replicates_do_not() -> None:
    """Whole plots that differ by as much as sub-plots: 5 % ± 1.5 % by whole-plot error, far more by the other."""
    source = np.random.default_rng(1935)
    blocks = [str(block) for block in range(4) for _ in range(12)]
    whole = [name for _ in range(4) for name in "GMV" for _ in range(4)]
    sub = ["0", "2", "4", "6"] * 12
    right, wrong = [], []
    for _ in range(900):
        values = source.normal(100, 10, 48) + np.repeat(source.normal(0, 10, 12), 4)
        line = fit_split_plot(values.tolist(), blocks, whole, sub).lines[1]
        right.append((line.p_value or 0) < 0.05)
        pooled = fit_layout(values.tolist(), whole, blocks).treatment_line
        wrong.append((pooled.p_value or 0) < 0.05)
    assert abs(np.mean(right) - 0.05) <= 0.015
    assert np.mean(wrong) > 0.2


def test_interval_of_a_split_plot_cell_holds_as_often_as_it_says() -> None:
    """95 % ± 1.5 % (Satterthwaite), where a plain sub-plot error would hold far less often."""
    from bayround.agronomy.distributions import two_sided_t

    source = np.random.default_rng(1946)
    blocks = [str(block) for block in range(4) for _ in range(12)]
    whole = [name for _ in range(4) for name in "GMV" for _ in range(4)]
    holds, plain = [], []
    for _ in range(900):
        values = source.normal(100, 10, 48) + np.repeat(source.normal(0, 12, 12), 4)
        fit = fit_split_plot(values.tolist(), blocks, whole, ["0", "2", "4", "6"] * 12)
        off = abs(fit.cell_means[0][0] - 100)
        holds.append(off <= two_sided_t(0.95, fit.mean_degrees) * fit.mean_variance_cell**0.5)
        error = fit.lines[-1]
        plain.append(off <= two_sided_t(0.95, error.degrees_of_freedom) * (error.mean_square / 4) ** 0.5)
    assert abs(np.mean(holds) - 0.95) <= 0.015
    assert np.mean(plain) < 0.85


def test_one_plot_each_is_refused_however_many_plants() -> None:
    with pytest.raises(NoAnovaError):
        fit_layout([4.0, 6.0, 5.0], ["A", "B", "C"])
