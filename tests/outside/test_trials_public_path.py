"""Published and reference sets, typed into a real farm file and analysed by the action the window uses."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from test_anova import read_nist

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import trials
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.agronomy.anova import Source
from bayround.agronomy.trial_checks import Scale
from bayround.agronomy.trial_result import Method
from bayround.facts.farm import HouseKind
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.figures.trial_report import TrialReport
from bayround.records import write_setup
from published_trials import INSECT_SPRAYS, OATS_PLOTS, PLANT_GROWTH, RICE_PLOTS, long_form

TODAY = date(2026, 11, 24)
STARTED = date(2026, 7, 1)
MOMENT = Moment(TODAY, datetime(2026, 11, 24, 9, tzinfo=UTC))


@pytest.fixture
def farm(tmp_path: Path) -> Iterator[OpenFarm]:
    """A new farm file."""
    made = farm_actions.create(tmp_path / "trials.bayround", "Trial Hill")
    yield made
    made.close()


def pasted(
    farm: OpenFarm,
    design: TrialDesign,
    rows: Sequence[tuple[str, str, str, float]],
    **how: object,
) -> TrialReport:
    """Paste (block, treatment, within, value) lines as a person would, and have the trial analysed."""
    text = io.StringIO()
    out = csv.writer(text)
    out.writerow(["block", "treatment", "within", "value"])
    out.writerows((block, main, sub, repr(value)) for block, main, sub, value in rows)
    trial = trials.import_text(
        farm, text.getvalue(), name="Published", design=design, started_on=STARTED, sub_factor="within"
    )
    return trials.analyse(farm, trial.id, TODAY, **how)  # type: ignore[arg-type]


def one_way(groups: dict[str, list[float]]) -> list[tuple[str, str, str, float]]:
    values, names = long_form(groups)
    return [("", name, "", value) for name, value in zip(names, values, strict=True)]


def f_of(report: TrialReport, source: Source) -> tuple[float, float]:
    assert report.tested is not None
    line = next(line for line in report.tested.lines if line.source is source)
    assert line.f is not None
    assert line.p_value is not None
    return line.f, line.p_value


def letters_of(report: TrialReport) -> dict[str, set[str]]:
    return {line.treatment: set(line.letters) for line in report.means}


@pytest.mark.parametrize(
    ("name", "tolerance"),
    [
        ("SiRstv", 1e-12),
        ("AtmWtAg", 1e-9),
        ("SmLs01", 1e-13),
        ("SmLs02", 1e-12),
        ("SmLs04", 1e-9),
        ("SmLs05", 1e-9),
        ("SmLs07", 1e-3),
        ("SmLs08", 1e-3),
    ],
)
def test_nist_certificates(farm: OpenFarm, name: str, tolerance: float) -> None:
    """NIST Statistical Reference Datasets, one-way ANOVA: certified F, pasted as text and read back from the file."""
    values, treatments, certified = read_nist(name)
    rows = [("", treatment, "", value) for treatment, value in zip(treatments, values, strict=True)]
    report = pasted(farm, TrialDesign.COMPLETELY_RANDOMISED, rows)
    assert f_of(report, Source.TREATMENT)[0] == pytest.approx(certified, rel=tolerance)


def test_plant_growth(farm: OpenFarm) -> None:
    """PlantGrowth (Dobson 1983): F, Tukey's p and interval, letters as R's TukeyHSD and multcompView give them."""
    report = pasted(farm, TrialDesign.COMPLETELY_RANDOMISED, one_way(PLANT_GROWTH))
    f, p = f_of(report, Source.TREATMENT)
    assert f == pytest.approx(4.8460878624, rel=1e-10)
    assert p == pytest.approx(0.0159099583, rel=1e-8)
    pair = next(line for line in report.effects if {line.first, line.second} == {"trt1", "trt2"})
    assert pair.p_value is not None
    assert pair.p_value.value == pytest.approx(0.012006423979, rel=1e-6)
    limits = sorted(abs(end) for end in (pair.difference.low, pair.difference.high) if end is not None)
    assert limits == pytest.approx([0.17378394859, 1.55621605141], rel=1e-6)
    assert letters_of(report) == {"trt2": {"a"}, "ctrl": {"a", "b"}, "trt1": {"b"}}
    assert report.figures["hsd_treatment"].value == pytest.approx(0.6912160514, rel=1e-7)


def test_three_groups_of_the_sas_reference(farm: OpenFarm) -> None:
    """Tukey's intervals as SAS gives them (in scipy's tests of tukey_hsd): 2-3 and 2-1 differ, letters a, b, a."""
    groups = {
        "1": [24.5, 23.5, 26.4, 27.1, 29.9],
        "2": [28.4, 34.2, 29.5, 32.2, 30.1],
        "3": [26.1, 28.3, 24.3, 26.2, 27.8],
    }
    report = pasted(farm, TrialDesign.COMPLETELY_RANDOMISED, one_way(groups))
    for other, mean, low, high in (
        ("3", 4.34, 0.6908830568, 7.989116943),
        ("1", 4.6, 0.9508830568, 8.249116943),
    ):
        line = next(line for line in report.effects if {line.first, line.second} == {"2", other})
        sign = 1 if line.first == "2" else -1
        found = line.difference
        assert found.value is not None
        assert found.low is not None
        assert found.high is not None
        ends = sorted((sign * found.low, sign * found.high))
        assert (sign * found.value, *ends) == pytest.approx((mean, low, high), rel=1e-4)
    letters = letters_of(report)
    assert letters["1"] == letters["3"] != letters["2"]


def test_insect_sprays_raw_yardsticks(farm: OpenFarm) -> None:
    """InsectSprays (Beall 1942) untransformed: F 34.7023, HSD 4.69941, LSD 3.19672 after a significant F."""
    report = pasted(farm, TrialDesign.COMPLETELY_RANDOMISED, one_way(INSECT_SPRAYS))
    assert f_of(report, Source.TREATMENT) == pytest.approx((34.7022820555, 3.1826e-17), rel=1e-4)
    assert report.figures["hsd_treatment"].value == pytest.approx(4.6994085121, rel=1e-6)
    assert report.figures["lsd_treatment"].value == pytest.approx(3.1967186062, rel=1e-6)


def test_rice_seed_rates_in_blocks(farm: OpenFarm) -> None:
    """Gomez & Gomez 1984, chapter 2 (agridat gomez.seedrate): F 2.17 not significant, so no least difference."""
    rows = [(block, rate, "", value) for block, rate, value in RICE_PLOTS]
    report = pasted(farm, TrialDesign.BLOCKS, rows)
    assert f_of(report, Source.TREATMENT) == pytest.approx((2.167779, 0.112809), rel=1e-5)
    assert f_of(report, Source.BLOCKS) == pytest.approx((5.862243, 0.007416), rel=1e-4)
    assert report.tested is not None
    assert report.tested.coefficient_of_variation_percent == pytest.approx(6.704258, rel=1e-6)
    assert report.tested.blocking_efficiency == pytest.approx(1.634206, rel=1e-6)
    assert report.figures["lsd_treatment"].value is None
    assert report.figures["lsd_treatment"].missing == "Only after a significant F test."
    assert report.figures["hsd_treatment"].value == pytest.approx(763.882132, rel=1e-6)
    assert len({frozenset(letters) for letters in letters_of(report).values()}) == 1


def test_rice_under_least_differences_shows_no_pair(farm: OpenFarm) -> None:
    """Fisher's protection: without a significant F the least significant difference gives no comparisons."""
    rows = [(block, rate, "", value) for block, rate, value in RICE_PLOTS]
    report = pasted(farm, TrialDesign.BLOCKS, rows, method=Method.LSD)
    assert report.effects == ()
    assert any("not significant" in note for note in report.notes)


def test_oats_split_plot_has_the_right_error_term(farm: OpenFarm) -> None:
    """Yates 1935 (MASS oats): variety F 1.485340 on 2 and 10, not the 3.513 that sub-plots as replicates give."""
    report = pasted(farm, TrialDesign.SPLIT_PLOT, OATS_PLOTS)
    assert f_of(report, Source.WHOLE_PLOT) == pytest.approx((1.485340, 0.272387), rel=1e-5)
    assert f_of(report, Source.SUB_PLOT) == pytest.approx((37.685647, 2.4577e-12), rel=1e-4)
    assert f_of(report, Source.INTERACTION)[0] == pytest.approx(0.302824, rel=1e-5)
    whole = next(line for line in report.lines if line.source == "treatment")
    assert whole.tested_against == "whole-plot error"
    assert whole.f is not None
    assert whole.f.text == "1.4853"
    assert any("whole plots only (10 degrees of freedom)" in text for text in report.cannot)


def test_insect_sprays_offers_and_takes_the_square_root(farm: OpenFarm) -> None:
    """InsectSprays (Beall 1942): root offered; on it F 44.79933, letters {A, B, F} {C, E} {D, E}."""
    plain = pasted(farm, TrialDesign.COMPLETELY_RANDOMISED, one_way(INSECT_SPRAYS))
    assert plain.offered_scale == "square_root"
    report = trials.analyse(farm, plain.trial.id, TODAY, scale=Scale.SQUARE_ROOT)
    assert f_of(report, Source.TREATMENT) == pytest.approx((44.7993292051, 6.3345e-20), rel=1e-4)
    found = letters_of(report)
    share = {one: {other for other in found if found[one] & found[other]} for one in found}
    assert share == {
        **{name: {"A", "B", "F"} for name in "ABF"},
        "C": {"C", "E"},
        "D": {"D", "E"},
        "E": {"C", "D", "E"},
    }
    chance = {frozenset((line.first, line.second)): line.p_value for line in report.effects}
    p_value = chance[frozenset("CD")]
    assert p_value is not None
    assert p_value.value == pytest.approx(0.008081268772, rel=1e-5)


def test_lost_plot_is_left_out_and_said(farm: OpenFarm) -> None:
    """A lost plot of the rice trial: least squares as statsmodels' anova_lm of type 2 gives it."""
    import pandas as pd
    from statsmodels.formula.api import ols
    from statsmodels.stats.anova import anova_lm

    rows = [(block, rate, "", value) for block, rate, value in RICE_PLOTS]
    report = pasted(farm, TrialDesign.BLOCKS, rows)
    trials.type_values(farm, report.trial.id, {"8": None}, MOMENT, "flooded")
    again = trials.analyse(farm, report.trial.id, TODAY)
    kept = pd.DataFrame([row for place, row in enumerate(rows) if place != 7], columns=["b", "t", "s", "y"])
    table = anova_lm(ols("y ~ C(b) + C(t)", kept).fit(), typ=2)
    assert f_of(again, Source.TREATMENT)[0] == pytest.approx(float(table.loc["C(t)", "F"]), rel=1e-8)
    assert any("1 plot has no value: 8" in note for note in again.notes)


def placed(
    farm: OpenFarm, kinds: Sequence[HouseKind], bays_each: int, plots_each: int
) -> tuple[list[TrialPlot], Trial]:
    """Houses of one treatment each, several bays in each, several plots of rows in each bay."""
    trial = Trial(factory.key(), "Houses", "", TrialDesign.COMPLETELY_RANDOMISED, "house", "typed", STARTED)
    houses, bays, plots = [], [], []
    for number, kind in enumerate(kinds):
        house = factory.house(name=f"House {number}", kind=kind)
        houses.append(house)
        for place in range(bays_each):
            bay = factory.bay(house, name=f"H{number}B{place}", rows=12)
            bays.append(bay)
            for row in range(plots_each):
                value = 5.0 + number + 0.3 * place + 0.07 * row
                name = f"{number}-{place}-{row}"
                plots.append(
                    TrialPlot(
                        factory.key(), trial.id, name, kind.value, "", "", bay.id, row + 1, row + 1, value
                    )
                )
    write_setup.add(farm.store, *houses, *bays, trial, *plots)
    return plots, trial


@pytest.mark.parametrize(("bays_each", "plots_each"), [(1, 1), (1, 6), (4, 1), (4, 5)])
def test_one_house_per_treatment_is_described_never_tested(
    farm: OpenFarm, bays_each: int, plots_each: int
) -> None:
    """Hurlbert 1984: however many bays and rows in a house, one house a treatment has no replicate."""
    _plots, trial = placed(farm, [HouseKind.NET_HOUSE, HouseKind.GREENHOUSE], bays_each, plots_each)
    report = trials.analyse(farm, trial.id, TODAY)
    assert report.tested is None
    assert report.verdict.startswith("Described, not tested.")
    assert all(line.p_value is None and line.told_apart is None for line in report.effects)
    assert not any(name.startswith("p_") for name in report.figures)
    assert any("Next season" in text for text in report.cannot)


def test_houses_are_the_replicates_where_treatments_cover_houses(farm: OpenFarm) -> None:
    """Three net houses against three greenhouses: 6 replicates, F of the house means as scipy gives it."""
    from scipy.stats import f_oneway

    net, glass = HouseKind.NET_HOUSE, HouseKind.GREENHOUSE
    _plots, trial = placed(farm, [net, glass, glass, net, net, glass], 3, 4)
    report = trials.analyse(farm, trial.id, TODAY)
    assert report.tested is not None
    assert report.tested.plots_used == 6
    means = [5.0 + number + 0.3 + 0.105 for number in range(6)]
    expected = f_oneway([means[n] for n in (0, 3, 4)], [means[n] for n in (1, 2, 5)])
    assert f_of(report, Source.TREATMENT)[0] == pytest.approx(float(expected.statistic), rel=1e-9)
    assert any("72 plots make 6 replicates" in note for note in report.notes)


def test_split_plot_in_one_house_each_tests_only_what_lies_within(farm: OpenFarm) -> None:
    """Oats as if each variety stood in one house: nitrogen is tested in blocks, variety is described."""
    houses = {name: factory.house(name=f"House {name}") for name in "GMV"}
    bays = {name: factory.bay(house) for name, house in houses.items()}
    trial = Trial(
        factory.key(), "One house each", "", TrialDesign.SPLIT_PLOT, "variety", "typed", STARTED, "nitrogen"
    )
    plots = [
        TrialPlot(factory.key(), trial.id, str(n), whole, sub, block, bays[whole].id, value=value)
        for n, (block, whole, sub, value) in enumerate(OATS_PLOTS)
    ]
    write_setup.add(farm.store, *houses.values(), *bays.values(), trial, *plots)
    report = trials.analyse(farm, trial.id, TODAY)
    assert report.described is not None
    assert report.tested is not None
    assert {line.factor for line in report.effects if line.p_value is not None} == {"nitrogen"}
    assert all(line.p_value is None for line in report.effects if line.factor == "variety")
    assert [line.source for line in report.lines] == ["blocks", "nitrogen", "error"]
