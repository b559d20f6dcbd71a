"""Trials from question to answer by keys: set up, drawn, kept, values pasted, read; the error term is not chosen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from window_hands import TODAY, Answers, alt, ctrl, fill, focused, press, type_text

from bayround.actions import trials
from bayround.actions.farm import OpenFarm
from bayround.facts.trials import TrialDesign
from bayround.records import read_season
from bayround.window.main_window import MainWindow
from bayround.window.trials.screen import TrialsScreen
from published_trials import OATS_PLOTS

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


def pick(letters: str) -> None:
    """Choose in a box by the first letters of a line, and go on."""
    type_text(letters)
    press(Qt.Key.Key_Tab)


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm, settled: Settled, tmp_path: Path) -> TrialsScreen:
    window = make_window(farm, Answers(path=tmp_path / "layout.pdf"), page="trials")
    settled()
    return cast(TrialsScreen, window.pages.current)


def set_up_oats(screen: TrialsScreen, settled: Settled) -> None:
    """Fill the form as a person would, from the first field to the last."""
    ctrl(Qt.Key.Key_N)
    settled()
    page = screen.setup
    assert focused() is page.name
    fill("Oats")
    fill("Which variety, how much nitrogen?")
    fill("variety")
    fill("G, M, V")
    assert focused() is page.design
    pick("split")
    assert page.design.currentData() == TrialDesign.SPLIT_PLOT
    fill("nitrogen")
    fill("0.0, 0.2, 0.4, 0.6")
    pick("typed")
    pick("Typed")
    assert focused() is page.replicates
    fill("6")
    settled()


def test_the_split_plot_has_the_right_error_term_by_the_windows_own_path(
    screen: TrialsScreen, farm: OpenFarm, settled: Settled, tmp_path: Path
) -> None:
    """Yates 1935 (MASS oats): variety F 1.4853 on 2 and 10, tested against whole plots; nothing chose it."""
    set_up_oats(screen, settled)
    page = screen.setup
    assert page.layout_drawn is not None, page.notice.text.text()
    assert len(page.layout_drawn.plots) == 72
    ctrl(Qt.Key.Key_S)
    settled()
    assert screen.pages.currentWidget() is screen.result
    view = screen.result.view
    assert view is not None
    assert view.trial.name == "Oats"
    known = {(f"{int(block)}", whole, sub): value for block, whole, sub, value in OATS_PLOTS}
    lowest = min(int(key[0]) for key in known)
    lines = []
    for one in view.plots:
        key = (str(int(one.plot.block) - 1 + lowest), one.plot.main_level, one.plot.sub_level)
        lines.append(f"{one.plot.name}\t{known[key]:g}")
    QApplication.clipboard().setText("\n".join(lines))
    screen.result.values.setFocus()
    ctrl(Qt.Key.Key_V)
    alt(Qt.Key.Key_K)
    settled()
    tests = {row[0][0]: row[0] for row in screen.result.tests.rows}
    assert (tests["variety"][1], tests["variety"][4], tests["variety"][6]) == (
        "2",
        "1.4853",
        "whole-plot error",
    )
    assert (tests["nitrogen"][1], tests["nitrogen"][4]) == ("3", "37.6856")
    assert tests["nitrogen"][6] != "whole-plot error"
    assert "72 with a value" in screen.result.about.text()
    alt(Qt.Key.Key_Y)
    settled()
    assert (tmp_path / "layout.pdf").read_bytes().startswith(b"%PDF-")


def test_a_layout_is_drawn_again_when_something_changes(screen: TrialsScreen, settled: Settled) -> None:
    set_up_oats(screen, settled)
    page = screen.setup
    first = page.layout_drawn
    page.treatments.setFocus()
    type_text("x")
    assert page.layout_drawn is None
    assert not page.keep.isEnabled()
    press(Qt.Key.Key_Backspace)
    alt(Qt.Key.Key_D)
    settled()
    assert page.layout_drawn == first, "the same seed draws the same layout"


def test_one_house_per_treatment_never_shows_a_p_value(screen: TrialsScreen, settled: Settled) -> None:
    """The sample farm's trial of one net house against one greenhouse, whatever scale and pairs are asked for."""
    result = screen.result
    screen.list.setCurrentRow(0)
    settled()
    assert result.title.text() == "Net house or greenhouse"
    for scale in range(result.scale.count()):
        for method in range(result.method.count()):
            result.scale.setCurrentIndex(scale)
            result.method.setCurrentIndex(method)
            result.analyse()
            settled()
            assert result.report is None or result.report.tested is None
            assert {row[0][4] for row in result.effects.rows} <= {"not tested"}
            assert not result.tests.rows
    result.scale.setCurrentIndex(0)
    result.method.setCurrentIndex(0)
    result.analyse()
    settled()
    assert result.verdict.text().startswith("Described, not tested.")
    assert "Next season" in result.cannot.text()


def test_the_map_shows_every_plot_in_its_bay_without_overlap(
    screen: TrialsScreen, farm: OpenFarm, settled: Settled
) -> None:
    rows = [screen.list.item(row).text() for row in range(screen.list.count())]
    screen.list.setCurrentRow(next(at for at, text in enumerate(rows) if "Ground cover" in text))
    settled()
    view, drawn = screen.result.view, screen.result.map
    assert view is not None
    drawn.grab()
    stripes = [drawn.stripe(one.plot) for one in view.plots]
    assert len(stripes) > 3
    assert all(stripe.width() > 2 and stripe.height() > 2 for stripe in stripes)
    for at, one in enumerate(stripes):
        assert not any(
            one.adjusted(0.1, 0.1, -0.1, -0.1).intersects(two.adjusted(0.1, 0.1, -0.1, -0.1))
            for two in stripes[at + 1 :]
        )
    told = drawn.accessibleDescription()
    assert all(f"{one.plot.name}: {one.plot.main_level}" in told for one in view.plots)


def test_parts_of_one_row_lie_beside_each_other(
    screen: TrialsScreen, settled: Settled, farm: OpenFarm
) -> None:
    screen.list.setCurrentRow(screen.list.count() - 1)
    settled()
    season = read_season.read_season(farm.store)
    plot = next(one for one in season.trial_plots if one.first_row is not None)
    halves = [replace(plot, id=name, name=name) for name in "ab"]
    screen.result.map.show_plots(halves, season)
    screen.result.map.grab()
    one, two = (screen.result.map.stripe(half) for half in halves)
    assert not one.adjusted(0.1, 0.1, -0.1, -0.1).intersects(two.adjusted(0.1, 0.1, -0.1, -0.1))
    assert one.width() * one.height() == pytest.approx(two.width() * two.height())


def test_the_printed_layout_names_every_plot(farm: OpenFarm) -> None:
    from bayround.actions import sheets

    view = next(one for one in trials.read(farm, TODAY).trials if "Ground cover" in one.trial.name)
    document = sheets.trial_sheet(farm, view)
    told = [text for page in document.pages for text in page.texts]
    for one in view.plots:
        assert told.count(one.plot.name) >= 2
        assert view.places[one.plot.id] in told
    assert any(f"seed {view.trial.seed}" in text for text in told)
