"""The further pages of the Bay screen: forecast with its record, more figures, green or coloured, wire, scouts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from window_hands import TODAY, press, type_text
from window_measures import SMALL, controls, name_of
from window_whole import cut_texts

from bayround.actions import farm as farm_actions
from bayround.actions import forecasts, insight, sample, setup
from bayround.actions.farm import OpenFarm
from bayround.window.bay.bay_screen import BayScreen
from bayround.window.bay.choice_page import ChoicePage
from bayround.window.bay.figures_page import FiguresPage
from bayround.window.bay.forecast_page import ForecastPage
from bayround.window.bay.page_parts import BayPage
from bayround.window.bay.scouts_page import ScoutsPage
from bayround.window.bay.wire_page import WirePage
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def kept(farm: OpenFarm) -> OpenFarm:
    """The invented farm with the forecasts of its past visits."""
    forecasts.keep_all(farm)
    return farm


@pytest.fixture
def screen(make_window: Make, kept: OpenFarm) -> BayScreen:
    return cast(BayScreen, make_window(kept, page="bay").pages.current)


def open_page(screen: BayScreen, kind: type[BayPage], settled: Settled) -> BayPage:
    """Go to a page with the arrow keys on the tabs, as a person does."""
    page = next(page for page in screen.pages.pages if isinstance(page, kind))
    screen.tabs.tabBar().setFocus()
    for _step in range(screen.tabs.count()):
        if screen.tabs.currentWidget() is page:
            break
        press(Qt.Key.Key_Right)
    settled()
    assert screen.tabs.currentWidget() is page
    return page


def test_pages_are_read_when_they_are_looked_at(screen: BayScreen, settled: Settled) -> None:
    assert screen.pages.insight is None
    page = open_page(screen, ForecastPage, settled)
    assert screen.pages.insight is not None
    assert page.insight is screen.pages.insight


def test_the_growth_curve_comes_into_the_chart(screen: BayScreen, settled: Settled) -> None:
    open_page(screen, ForecastPage, settled)
    assert screen.pages.insight is not None
    assert screen.chart._curve == screen.pages.insight.curve_points


def test_the_forecast_shows_its_own_record(screen: BayScreen, kept: OpenFarm, settled: Settled) -> None:
    page = cast(ForecastPage, open_page(screen, ForecastPage, settled))
    bay_id = screen.season.now.bay.id  # type: ignore[union-attr]
    read = insight.read(kept, bay_id, TODAY)
    assert [row[0][1] for row in page.coming.rows] == [line.kg.text for line in read.forecast]
    assert len(page.coming.rows) == 5
    assert page.record_words.text() == read.record_sentence
    assert len(page.scored.rows) == len(read.scored) > 0
    held = read.record[1]["forecast_coverage_percent"]
    assert page.record.rows[0][0][1] == held.text_with_unit
    assert page.record.figure_at(0, 1) == held


def test_two_bays_are_compared_in_words(screen: BayScreen, settled: Settled) -> None:
    page = cast(FiguresPage, open_page(screen, FiguresPage, settled))
    assert page.other.count() > 0
    first = page.compared.text()
    assert first
    page.measure.setFocus()
    press(Qt.Key.Key_Down, times=2)
    page.measure.activated.emit(page.measure.currentIndex())
    settled()
    assert "fruit per plant" in page.compared.text()
    assert page.compared.text() != first
    assert "plants are measured" in page.sizes.text()


def test_green_or_coloured_by_keyboard(screen: BayScreen, settled: Settled) -> None:
    page = cast(ChoicePage, open_page(screen, ChoicePage, settled))
    assert page.green.text(), "the farm's own prices are filled in"
    assert page.answer.text() or page.notice.isVisible()
    page.coloured.setFocus()
    page.coloured.selectAll()
    type_text("0.01")
    press(Qt.Key.Key_Return)
    settled()
    if page.notice.isVisible():
        assert "green fruit" in page.notice.text.text()
    else:
        assert page.answer.text().startswith("Pick green now")
        assert len(page.table.rows) == 15


def test_a_price_that_is_missing_is_asked_for(screen: BayScreen, settled: Settled) -> None:
    page = cast(ChoicePage, open_page(screen, ChoicePage, settled))
    page.green.setFocus()
    page.green.selectAll()
    press(Qt.Key.Key_Delete)
    press(Qt.Key.Key_Return)
    settled()
    assert "Price of green fruit per kg is needed" in page.notice.text.text()


def test_the_wire_page_never_shows_a_figure_without_the_caution(screen: BayScreen, settled: Settled) -> None:
    page = cast(WirePage, open_page(screen, WirePage, settled))
    assert page.caution.isVisible()
    assert page.caution.text() == insight.wire_caution()
    assert "kg hang on the span" in page.answer.text()
    before = page.answer.text()
    page.sag.setFocus()
    page.sag.selectAll()
    type_text("0.1")
    press(Qt.Key.Key_Return)
    settled()
    assert page.answer.text() != before
    assert page.caution.isVisible()
    page.sag.selectAll()
    type_text("0")
    press(Qt.Key.Key_Return)
    settled()
    assert "lies between" in page.notice.text.text()


def test_scouts_are_compared(screen: BayScreen, settled: Settled) -> None:
    page = cast(ScoutsPage, open_page(screen, ScoutsPage, settled))
    assert page.insight is not None
    assert page.how.isVisible()


@pytest.fixture(scope="module")
def whole_farm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenFarm]:
    """The whole invented season: the scouts swapped houses twice in it."""
    path: Path = tmp_path_factory.mktemp("whole") / "whole.bayround"
    made = sample.write_sample(path)
    made.close()
    opened = farm_actions.open_farm(path)
    yield opened
    opened.close()


def test_the_sample_farms_scout_who_reads_high_is_named(whole_farm: OpenFarm) -> None:
    """The scenario lets Rowan read 4 cm too high; the swaps of weeks 33 and 37 give it away."""
    bay = setup.read(whole_farm).bays[0]
    (pair,) = insight.read(whole_farm, bay.id, TODAY).scouts
    assert pair.sentence.startswith("Rowan reads heights about 4")
    assert pair.switch is not None
    assert pair.switch.low is not None
    assert pair.switch.high is not None
    assert pair.switch.low - 0.3 <= 4.0 <= pair.switch.high + 0.3


def test_every_page_has_names_and_room(screen: BayScreen, settled: Settled) -> None:
    window = cast(MainWindow, screen.window())
    nameless, small, cut = [], [], []
    for page in screen.pages.pages:
        open_page(screen, type(page), settled)
        for part in controls(window):
            if not name_of(part).strip():
                nameless.append((page.title, type(part).__name__))
            if min(part.width(), part.height()) < SMALL:
                small.append((page.title, name_of(part)))
        cut += [(page.title, text) for text in cut_texts(window)]
        assert window.size().toTuple() == (1280, 720), page.title
        assert any(isinstance(part, QPushButton) for part in controls(window))
    assert (nameless, small, cut) == ([], [], [])


def test_the_next_bay_shows_its_own_pages(screen: BayScreen, settled: Settled) -> None:
    page = open_page(screen, WirePage, settled)
    first = page.insight.past.bay.id  # type: ignore[union-attr]
    screen.after.click()
    settled()
    assert page.insight is not None
    assert page.insight.past.bay.id != first
    assert page.insight.past.bay.id == screen.season.now.bay.id  # type: ignore[union-attr]
