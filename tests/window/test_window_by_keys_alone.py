"""Each screen's main job with the keyboard alone, through the real widgets: nothing here sets a focus or calls a slot.

The window opens on Week; from there on only keys are pressed, to whatever has the keyboard. Farm and Visit are done
like this in `test_window_main_job`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget
from window_hands import NOW, TODAY, Answers, alt, ctrl, fill, focused, press, type_text

from bayround.actions import house_checks, picks, treatments
from bayround.actions import trials as trial_actions
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.records import read_season
from bayround.window.main_window import MainWindow

Make = Callable[..., MainWindow]
Settled = Callable[[], None]
SHIFT = Qt.KeyboardModifier.ShiftModifier


def tab_to(wanted: QWidget, most: int = 40) -> None:
    """Press Tab until a part has the keyboard; it has to come within *most* presses."""
    for _again in range(most):
        here = focused()
        if here is wanted or wanted.isAncestorOf(here) or here.focusProxy() is wanted:
            return
        press(Qt.Key.Key_Tab)
        QApplication.processEvents()
    raise AssertionError(f"{wanted.accessibleName() or wanted} is not reached with Tab")


def screen_of(window: MainWindow) -> Any:
    return window.pages.current


@pytest.fixture
def window(make_window: Make, farm: OpenFarm, settled: Settled) -> MainWindow:
    made = make_window(farm)
    settled()
    return made


def test_week_sort_filter_shade_and_open_a_bay(window: MainWindow, settled: Settled) -> None:
    screen = screen_of(window)
    ctrl(Qt.Key.Key_F)
    type_text("S3")
    press(Qt.Key.Key_Down)
    settled()
    press(Qt.Key.Key_Return)
    settled()
    assert screen_of(window).name == "bay"
    assert "S3" in screen_of(window).heading.text()
    ctrl(Qt.Key.Key_1)
    settled()
    assert screen_of(window) is screen
    ctrl(Qt.Key.Key_F)
    ctrl(Qt.Key.Key_A)
    press(Qt.Key.Key_Delete)
    alt(Qt.Key.Key_S)
    assert screen.measure.hasFocus()
    before = screen.measure.currentText()
    press(Qt.Key.Key_Down)
    assert screen.measure.currentText() != before
    tab_to(screen.map)
    press(Qt.Key.Key_Return)
    settled()
    assert screen_of(window).name == "bay"


def test_bay_look_at_its_pages_and_the_next_bay(window: MainWindow, settled: Settled) -> None:
    ctrl(Qt.Key.Key_3)
    settled()
    screen = screen_of(window)
    first = screen.heading.text()
    tab_to(screen.after)
    press(Qt.Key.Key_Space)
    settled()
    assert screen.heading.text() != first
    tab_to(screen.tabs.tabBar())
    for page in range(1, 3):
        press(Qt.Key.Key_Right)
        settled()
        assert screen.tabs.currentIndex() == page
    ctrl(Qt.Key.Key_F)  # also from another page
    settled()
    assert screen.tabs.currentIndex() == 0
    type_text("2026-11")
    press(Qt.Key.Key_Down)
    assert focused() is screen.table
    assert screen.table.model().rowCount() > 0


def test_jobs_find_give_and_tick_off(window: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_4)
    settled()
    screen = screen_of(window)
    for box in (screen.list.kind, screen.list.person, screen.list.order):
        tab_to(box)
        press(Qt.Key.Key_Down)
        press(Qt.Key.Key_Up)
        settled()
    tab_to(screen.list.table)
    while screen.job.blocked_by:
        press(Qt.Key.Key_Down)
    key = screen.job.key
    ctrl(Qt.Key.Key_G)
    press(Qt.Key.Key_Return)
    settled()
    ctrl(Qt.Key.Key_D)
    fill("1.5")
    settled()
    done = {job.key: job for job in week_actions.work(farm, None, TODAY).jobs}[key]
    assert done.state.value == "done"
    assert done.assigned_to


def test_treatments_write_one_down(window: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_6)
    settled()
    count = len(treatments.read(farm, TODAY).treatments)
    ctrl(Qt.Key.Key_N)
    local = (NOW - timedelta(hours=1)).astimezone()
    press(Qt.Key.Key_Return) if focused().accessibleName() == "Kind" else None
    for text in (
        local.date().isoformat(),
        f"{local:%H%M}",
        "",
        "example salt",
        "28",
        "",
        "",
        "Aphids",
        "12",
        "3",
    ):
        fill(text)
    alt(Qt.Key.Key_B)
    press(Qt.Key.Key_Home)
    press(Qt.Key.Key_Space)
    ctrl(Qt.Key.Key_S)
    settled()
    book = treatments.read(farm, TODAY).treatments
    assert len(book) == count + 1
    assert (book[0].treatment.re_entry_hours, book[0].treatment.pre_harvest_days) == (12.0, 3.0)


def test_picks_key_in_a_day(window: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_7)
    settled()
    screen = screen_of(window)
    while screen.model.rows[screen.grid.currentIndex().row()].line.stopped:
        press(Qt.Key.Key_Down)
    name = screen.model.rows[screen.grid.currentIndex().row()].line.name
    for sign in "31.5":
        type_text(sign)
    press(Qt.Key.Key_Return)
    ctrl(Qt.Key.Key_S)
    settled()
    line = next(one for one in picks.read_day(farm, TODAY).lines if one.name == name)
    assert [pick.kg for pick in line.picked] == [31.5]


def test_house_check(window: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_H)
    settled()
    type_text("g")
    press(Qt.Key.Key_Return)
    type_text("f")
    type_text("post leans")
    ctrl(Qt.Key.Key_S)
    settled()
    assert [one.faults[0].note for one in house_checks.read(farm) if one.faults] == ["post leans"]


def test_trials_set_one_up(window: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_9)
    settled()
    screen = screen_of(window)
    before = len(trial_actions.read(farm, TODAY).trials)
    ctrl(Qt.Key.Key_N)
    settled()
    for text in ("Two strings", "Does a second string pay?", "strings", "one, two"):
        fill(text)
    tab_to(screen.setup.replicates)
    fill("4")
    settled()
    ctrl(Qt.Key.Key_S)
    settled()
    assert len(trial_actions.read(farm, TODAY).trials) == before + 1, screen.setup.notice.text.text()


def test_season_what_if_and_a_price(window: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_0)
    settled()
    screen = screen_of(window)
    alt(Qt.Key.Key_B)
    assert screen.by.hasFocus()
    press(Qt.Key.Key_Down)
    settled()
    alt(Qt.Key.Key_I)
    settled()
    page = screen.what_if_page
    tab_to(page.bays)
    press(Qt.Key.Key_Space)
    tab_to(page.into)
    press(Qt.Key.Key_Down)
    alt(Qt.Key.Key_R)
    settled()
    assert page.report is not None or page.notice.isVisible()
    tab_to(page.typed["added_returns"])
    type_text("stall; 12.34")
    alt(Qt.Key.Key_T)
    settled()
    assert page.report is not None
    assert page.report.net_change.text_with_unit.startswith("12.34")
    alt(Qt.Key.Key_C)
    settled()
    books = screen.books_page
    tab_to(books.form.kind)
    type_text("p")
    tab_to(books.form.day)
    fill("2026-11-20")
    tab_to(books.form.amount)
    fill("1.85")
    settled()
    prices = read_season.read_season(farm.store).prices
    assert [one.per_kg_hundredths for one in prices if f"{one.valid_from}" == "2026-11-20"] == [185]


def test_search_goes_to_a_bay(window: MainWindow, settled: Settled) -> None:
    ctrl(Qt.Key.Key_K)
    settled()
    type_text("G4")
    settled()
    press(Qt.Key.Key_Return)
    settled()
    assert screen_of(window).name == "bay"
    assert "G4" in screen_of(window).heading.text()


def test_import_matches_columns_and_brings_in(
    make_window: Make, farm: OpenFarm, settled: Settled, tmp_path: Path
) -> None:
    house = read_season.read_season(farm.store).houses[0].name
    path = tmp_path / "own.csv"
    path.write_text(f"Day;Min °C;Max °C;House\n{TODAY:%d.%m.%Y};9;31;{house}\n", encoding="utf-8")
    window = make_window(farm, Answers(path=path))
    ctrl(Qt.Key.Key_I)
    settled()
    settled()
    dialog = window.bringing.dialog
    tab_to(dialog.how.columns.box(0))  # type: ignore[union-attr]
    tab_to(dialog.table)  # type: ignore[union-attr]
    alt(Qt.Key.Key_B)
    settled()
    settled()
    days = read_season.read_season(farm.store).climate_days
    assert [(one.low_c, one.high_c) for one in days if one.day == TODAY] == [(9.0, 31.0)]
