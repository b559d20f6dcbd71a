"""F4 on the pages of the Bay screen: every figure that is shown says how it is known; reached by real keys."""

# ruff: noqa: F811

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from test_window_bay_pages import Settled, kept, open_page, screen  # noqa: F401
from window_hands import focused, press

from bayround.actions.insight import ScoutsSeen
from bayround.window.bay.bay_screen import BayScreen
from bayround.window.bay.choice_page import ChoicePage
from bayround.window.bay.compare_page import ComparePage
from bayround.window.bay.figures_page import FiguresPage
from bayround.window.bay.forecast_page import ForecastPage
from bayround.window.bay.page_parts import BayPage
from bayround.window.bay.rows_table import RowsTable
from bayround.window.bay.scouts_page import ScoutsPage
from bayround.window.bay.wire_page import WirePage
from bayround.window.parts.explain import ExplainDialog
from bayround.window.parts.figure_chips import FigureButton

MOST_PARTS = 60


def asked() -> tuple[str, set[str]]:
    """Press F4 where the keyboard is; return what the dialog is named and all its texts, and close it."""
    here = focused()
    press(Qt.Key.Key_F4)
    QApplication.processEvents()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, ExplainDialog), f"F4 opens nothing on {here.accessibleName()}"
    found = dialog.accessibleName(), {label.text() for label in dialog.findChildren(QLabel)}
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    here.window().activateWindow()
    QApplication.processEvents()
    assert focused() is here
    return found


def walked(page: QWidget) -> Iterator[QWidget]:
    """Go through all parts of a page with the Tab key, from the tabs on, and back out of it."""
    begun = focused()
    for _step in range(MOST_PARTS):
        press(Qt.Key.Key_Tab)
        if focused() is begun:
            return
        if page.isAncestorOf(focused()):
            yield focused()


def chips_of(part: QWidget) -> set[str]:
    return {chip.accessibleName() for chip in part.findChildren(FigureButton) if chip.isVisible()}


def ask_all(page: BayPage) -> tuple[set[str], dict[str, list[list[str]]]]:
    """Return the chips that were asked, and by table what every cell's dialog is named, row by row."""
    chips, cells = set(), {}
    for part in walked(page):
        if isinstance(part, FigureButton):
            label = part.accessibleName().partition(":")[0]
            assert label in asked()[0]
            chips.add(part.accessibleName())
        elif isinstance(part, RowsTable):
            cells[part.accessibleName()] = cells_of(part)
    return chips, cells


def cells_of(table: RowsTable) -> list[list[str]]:
    """Ask the cells of the first and of the last row, going there with the arrow keys."""
    last = table.model().columnCount() - 1
    found = []
    for where in (Qt.Key.Key_Home, Qt.Key.Key_End):
        press(where, Qt.KeyboardModifier.ControlModifier)
        press(Qt.Key.Key_Left, times=last)
        row = [asked()[0]]
        for _column in range(last):
            press(Qt.Key.Key_Right)
            row.append(asked()[0])
        found.append(row)
    return found


def the_chips_of_the_head(screen: BayScreen) -> None:
    chips = screen.chips.findChildren(FigureButton)
    assert chips
    for chip in chips:
        chip.setFocus()
        assert chip.accessibleName().partition(":")[0] in asked()[0]


def compare_answers_for_either_bay(screen: BayScreen, settled: Settled) -> None:
    page = cast(ComparePage, open_page(screen, ComparePage, settled))
    assert page.chart in list(walked(page))
    page.chart.setFocus()
    first, second = page.chart.here()
    assert first is not None
    assert second is not None
    assert first.value != second.value
    assert first.text_with_unit in asked()[0]
    press(Qt.Key.Key_Down)
    assert second.text_with_unit in asked()[0]
    assert f"▸ {page.other.currentText()}" in page.chart.accessibleDescription()
    press(Qt.Key.Key_Up)
    assert first.text_with_unit in asked()[0]


def forecast_every_cell_has_its_own_figure(screen: BayScreen, settled: Settled) -> None:
    page = cast(ForecastPage, open_page(screen, ForecastPage, settled))
    chips, cells = ask_all(page)
    assert chips == chips_of(page) != set()
    coming, record, said = cells.values()
    line = page.insight.forecast[0]  # type: ignore[union-attr]
    assert line.kg.text_with_unit in coming[0][1]
    assert line.fruit.label in coming[0][3]
    assert [name.split("? ")[1] for name in record[0][2:5]] == [
        f"{figure.label} {figure.text_with_unit}"
        for key in ("forecast_wape_percent", "forecast_bias_percent", "forecast_mase")
        if (figure := page.insight.record[1][key])  # type: ignore[union-attr]
    ]
    newest = page.scored.rows[0][0]
    assert said[0][2].endswith(f"Foreseen for {newest[0]} {newest[2]} kg")
    assert said[0][4].endswith(f"Picked in {newest[0]} {newest[4]} kg")


def more_figures_and_what_the_sentences_rest_on(screen: BayScreen, settled: Settled) -> None:
    page = cast(FiguresPage, open_page(screen, FiguresPage, settled))
    chips, _cells = ask_all(page)
    assert chips == chips_of(page)
    assert any(name.startswith("Marked plants for Height") for name in chips_of(page.size_chips))
    assert any(name.startswith("Difference of height") for name in chips_of(page.difference))


def green_or_coloured_every_row_has_its_own_gain(screen: BayScreen, settled: Settled) -> None:
    page = cast(ChoicePage, open_page(screen, ChoicePage, settled))
    chips, cells = ask_all(page)
    assert chips == chips_of(page) != set()
    (first, last), rows = cells[next(iter(cells))], page.table.rows
    assert len(rows) == 15
    assert first[2].endswith(f"Gain of waiting {rows[0][0][2]} per m²")
    assert last[2].endswith(f"Gain of waiting {rows[-1][0][2]} per m²")
    assert first[2] != last[2]


def load_on_a_wire_never_without_the_caution(screen: BayScreen, settled: Settled) -> None:
    page = cast(WirePage, open_page(screen, WirePage, settled))
    for part in walked(page):
        if isinstance(part, FigureButton):
            assert page.caution.text() in asked()[1]
    chips, _cells = ask_all(page)
    assert len(chips) == 4


def scouts_say_how_they_agree(screen: BayScreen, settled: Settled) -> None:
    page = cast(ScoutsPage, open_page(screen, ScoutsPage, settled))
    insight = page.insight
    assert insight is not None
    seen = ScoutsSeen("Rowan", "Ash", insight.all_bays[1:2], insight.all_bays[0], "")
    page.show_insight(replace(insight, scouts=(seen,)))
    settled()
    chips, _cells = ask_all(page)
    assert chips == chips_of(page)
    assert len(chips) == 2


def test_every_figure_of_every_page_answers(screen: BayScreen, settled: Settled) -> None:
    the_chips_of_the_head(screen)
    for page in (
        compare_answers_for_either_bay,
        forecast_every_cell_has_its_own_figure,
        more_figures_and_what_the_sentences_rest_on,
        green_or_coloured_every_row_has_its_own_gain,
        load_on_a_wire_never_without_the_caution,
        scouts_say_how_they_agree,
    ):
        page(screen, settled)
