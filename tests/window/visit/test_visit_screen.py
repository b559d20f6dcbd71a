"""The whole screen: rounds and the walk, the parts by keyboard, the side panel, sizes and names."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLineEdit,
    QListView,
    QPlainTextEdit,
    QTableView,
    QWidget,
)
from pytestqt.qtbot import QtBot
from visit_hands import TODAY, Hands, bays, put_in_place

from bayround import settings
from bayround.window import theme
from bayround.window.parts.explain import ExplainDialog
from bayround.window.visit.panel_lines import LineKind
from bayround.window.visit.screen import VisitScreen


def reckon_panel(screen: VisitScreen, farm: FakeRounds) -> None:
    """Show the real figures at the right."""
    farm.with_panel = True
    screen.work.refresh()
    QApplication.processEvents()


def test_a_farm_without_rounds_asks_for_the_first_one(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds, qtbot: QtBot
) -> None:
    farm.all_rounds = []
    screen = make_screen()
    hands = Hands(screen)
    assert screen.start_form.day.hasFocus()
    assert screen.start_form.day.text() == TODAY.isoformat()
    hands.key(Qt.Key.Key_Tab)
    hands.key(Qt.Key.Key_Down)  # the second scout
    hands.key(Qt.Key.Key_Tab)
    hands.key(Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: bool(farm.all_rounds), timeout=2000)
    (held,) = farm.all_rounds
    assert (held.held_on, held.scout_id) == (TODAY, farm.people[1].id)
    assert settings.read(settings.LAST_SCOUT) == farm.people[1].id
    assert screen.walk.hasFocus()


def test_a_day_that_is_none_is_not_taken(make_screen: Callable[..., VisitScreen], farm: FakeRounds) -> None:
    farm.all_rounds = []
    screen = make_screen()
    hands = Hands(screen)
    hands.keys("2026-13-40")
    hands.enter()
    assert farm.all_rounds == []
    assert "is not a date" in screen.start_form.problem.text()


def test_the_walk_is_shown_and_enter_opens_the_bay_under_the_cursor(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds
) -> None:
    screen = make_screen()
    assert farm.visits == {}  # looking begins nothing
    hands = Hands(screen)
    hands.key(Qt.Key.Key_Down)
    hands.enter()
    assert screen.page.bar.name.text() == "Net house 1 · Bay 2"
    assert len(farm.visits) == 1


def test_a_bay_asked_for_by_another_screen_is_opened(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    third = list(farm.pasts)[2]
    screen.show_again(third)
    QApplication.processEvents()
    assert screen.page.bar.name.text() == "Net house 1 · Bay 3"


def test_an_earlier_round_can_be_chosen(screen: VisitScreen, farm: FakeRounds) -> None:
    earlier = farm.start_round(None, date(2026, 10, 20), farm.people[1].id)
    screen.show_again(earlier.id)
    QApplication.processEvents()
    assert screen.round_bar.rounds.currentText() == "2026-10-20 · Birch"
    assert screen.work.round_id == earlier.id


def test_f6_goes_round_the_parts_and_shift_f6_back(screen: VisitScreen, hands: Hands) -> None:
    sections = screen.page.sections
    ring = [
        sections.checks,
        sections.cards,
        sections.weeds,
        sections.note,
        screen.panel,
        screen.walk,
        screen.page.grid,
    ]
    for part in ring:
        hands.key(Qt.Key.Key_F6)
        assert part.hasFocus(), part.accessibleName()
    hands.key(Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    assert screen.walk.hasFocus()


def test_checks_cards_and_weeds_are_keyed_in_without_the_mouse(
    screen: VisitScreen, hands: Hands, farm: FakeRounds
) -> None:
    hands.key(Qt.Key.Key_F6)
    hands.keys("30")
    hands.enter()
    hands.keys("2")
    hands.enter()
    hands.keys("17")
    hands.enter(times=2)  # past where they were
    hands.keys("nn")
    hands.key(Qt.Key.Key_F6)
    hands.keys("w")  # whiteflies
    hands.enter()
    hands.keys("23")
    hands.enter()
    hands.key(Qt.Key.Key_F6)
    hands.keys("12")
    hands.keys("y")
    record = farm.visits[screen.work.visit_id]
    seen = [(check.organism, check.inspected, check.infested, check.counted) for check in record.checks]
    assert seen == [("thrips", 30, 2, 17), ("whiteflies", 30, 0, None), ("aphids", 30, 0, None)]
    assert [(card.organism, card.count, card.days_hung) for card in record.cards] == [("whiteflies", 23, 7.0)]
    assert [(note.cover_percent, note.seeding) for note in record.weeds] == [(12.0, True)]


def test_enter_leads_from_the_last_plant_through_all_parts(screen: VisitScreen, hands: Hands) -> None:
    readings = screen.page.readings
    screen.page.grid.setCurrentIndex(readings.index(readings.rowCount() - 1, readings.columnCount() - 1))
    hands.enter()
    assert screen.page.sections.checks.hasFocus()
    hands.key(Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    assert screen.page.grid.hasFocus()


def test_a_digit_in_a_cell_that_takes_none_is_not_swallowed_silently(
    screen: VisitScreen, hands: Hands
) -> None:
    hands.key(Qt.Key.Key_F6)
    hands.key(Qt.Key.Key_Left, times=2)
    hands.keys("3")
    assert screen.page.message.text() == "Nothing can be typed in this cell; Enter goes to the next."


def test_the_panel_follows_every_cell(
    screen: VisitScreen, hands: Hands, qtbot: QtBot, farm: FakeRounds
) -> None:
    reckon_panel(screen, farm)

    def growth() -> str:
        line = screen.panel.lines.lines[1]
        return f"{line.strong} {line.plain}"

    before = growth()
    hands.keys("+")
    qtbot.waitUntil(lambda: growth() != before, timeout=5000)
    assert "n = 1" in growth()


def test_enter_or_f4_on_a_figure_tells_how_we_know(
    screen: VisitScreen, hands: Hands, qtbot: QtBot, farm: FakeRounds
) -> None:
    reckon_panel(screen, farm)
    screen.panel.setFocus()
    hands.key(Qt.Key.Key_Home)
    for key in (Qt.Key.Key_F4, Qt.Key.Key_Return):
        hands.key(key)
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, ExplainDialog)
        line = screen.panel.lines.lines[screen.panel.currentIndex().row()]
        assert line.kind is LineKind.FIGURE
        assert line.title in dialog.accessibleName()
        dialog.close()
        QApplication.processEvents()
        screen.activateWindow()
        qtbot.waitUntil(screen.panel.hasFocus, timeout=2000)


def test_twelve_plants_are_in_sight_in_a_small_window(
    monkeypatch: pytest.MonkeyPatch, make_screen: Callable[..., VisitScreen]
) -> None:
    fake = FakeRounds(bays(1, plants=30), TODAY)
    put_in_place(fake, monkeypatch)
    screen = make_screen()
    Hands(screen).enter()
    screen.resize(1200, 632)  # what the rail, the header and the status line leave of 1280 × 720
    QApplication.processEvents()
    assert (screen.width(), screen.height()) == (1200, 632)
    grid = screen.page.grid
    rows = [grid.visualRect(grid.model().index(row, 0)) for row in range(30)]
    assert sum(grid.viewport().rect().contains(rect) for rect in rows) >= 12


@pytest.fixture
def large_type(qapp: QApplication) -> Iterator[None]:
    theme.apply(qapp, "dark", True)
    yield
    theme.apply(qapp, "light", False)


def test_large_type_still_fits_a_small_window(
    large_type: None, make_screen: Callable[..., VisitScreen], farm: FakeRounds
) -> None:
    screen = make_screen()
    Hands(screen).enter()
    screen.resize(1176, 600)
    QApplication.processEvents()
    assert (screen.width(), screen.height()) == (1176, 600)
    assert screen.page.grid.least_row_height > 26
    assert screen.page.grid.viewport().height() >= 5 * screen.page.grid.rowHeight(0)


def test_a_doubtful_and_an_unsaved_cell_look_different_without_colour(
    make_screen: Callable[..., VisitScreen], farm: FakeRounds
) -> None:
    screen = make_screen(painted=True)
    hands = Hands(screen)
    hands.enter()
    plain = _grey_cell(screen, 3)
    hands.key(Qt.Key.Key_F2)
    hands.keys("160")
    hands.enter()
    doubtful = _grey_cell(screen, 0)
    farm.failing = True
    screen.page.grid.setCurrentIndex(screen.page.readings.index(1, 0))
    hands.key(Qt.Key.Key_F2)
    hands.keys("160")
    hands.enter()
    unsaved = _grey_cell(screen, 1)
    farm.failing = False
    frames = [_dark(picture, edge_only=True) for picture in (plain, doubtful, unsaved)]
    assert frames[1] > frames[0] + 40  # dashes
    assert frames[2] > frames[1] + 40  # a whole frame
    signs = [
        _dark(picture) - frame for picture, frame in zip((plain, doubtful, unsaved), frames, strict=True)
    ]
    assert signs[1] > signs[0] + 50
    assert signs[2] > signs[0] + 50


def _grey_cell(screen: VisitScreen, row: int) -> QImage:
    """The first cell of a row, painted, without colour; the keyboard is elsewhere."""
    screen.walk.setFocus()
    QApplication.processEvents()
    grid = screen.page.grid
    picture = grid.viewport().grab(grid.visualRect(screen.page.readings.index(row, 0))).toImage()
    grid.setFocus()
    return picture.convertToFormat(QImage.Format.Format_Grayscale8)


def _dark(picture: QImage, edge_only: bool = False) -> int:
    """How many pixels (of the cell, or of its edge) are clearly darker than the ground."""
    width, height = picture.width(), picture.height()
    levels = {(x, y): picture.pixelColor(x, y).lightness() for x in range(width) for y in range(height)}
    shades = list(levels.values())
    ground = max(set(shades), key=shades.count)
    return sum(
        level < ground - 60 and (not edge_only or min(x, y, width - 1 - x, height - 1 - y) < 3)
        for (x, y), level in levels.items()
    )


def test_every_control_has_a_name(screen: VisitScreen) -> None:
    kinds = (QAbstractButton, QComboBox, QLineEdit, QPlainTextEdit, QTableView, QListView)
    nameless = [
        f"{type(part).__name__} {part.objectName()}"
        for part in screen.findChildren(QWidget)
        if isinstance(part, kinds) and not _inner(part) and not _name(part)
    ]
    assert nameless == []


def _inner(part: QWidget) -> bool:
    """Parts that Qt makes inside other controls (the corner of a table, the list of a combo box)."""
    return (
        isinstance(part.parentWidget(), QTableView)
        or part.windowType() == Qt.WindowType.Popup
        or any(isinstance(above, QComboBox) for above in _above(part))
    )


def _above(part: QWidget) -> list[QWidget]:
    parent = part.parentWidget()
    return [] if parent is None else [parent, *_above(parent)]


def _name(part: QWidget) -> str:
    return part.accessibleName() or (part.text() if isinstance(part, QAbstractButton) else "")


def test_cells_lines_and_stops_can_be_heard(screen: VisitScreen, farm: FakeRounds) -> None:
    reckon_panel(screen, farm)
    spoken = Qt.ItemDataRole.AccessibleTextRole
    cell = screen.page.readings.index(0, 0)
    assert cell.data(spoken).startswith("Height, plant 1 · ")
    assert "last visit" in cell.data(spoken)
    assert screen.walk.walk.index(1).data(spoken) == "Net house 1, Bay 1: begun"
    assert screen.panel.lines.index(1).data(spoken).startswith("Growth: ")
