"""What lies inside an interval, at the window by real keys: said at once, marked everywhere, explained or put right."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot
from window_hands import NOW, TODAY, press, type_text

import factory
from bayround.actions import inside, picks, treatments
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickEntry
from bayround.facts.moments import local_day
from bayround.records import read_work, write_setup
from bayround.window.main_window import MainWindow
from bayround.window.parts.inside_dialog import InsideDialog
from bayround.window.parts.whole_table import AROUND

Make = Callable[..., MainWindow]
Settled = Callable[[], None]
SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def pick_today(farm: OpenFarm) -> str:
    line = picks.read_day(farm, TODAY).lines[0]
    picks.record(
        farm, TODAY, line.bay_id, [PickEntry(12.5, None, "third")], Moment(TODAY, NOW), explanation="invented"
    )
    return line.bay_id


def treat(window: MainWindow, farm: OpenFarm, bay_id: str) -> None:
    """Write a treatment down as the form does: on the farm's thread, so that the window hears of it."""
    item = factory.treatment(NOW - timedelta(hours=1), re_entry_hours=4.0, pre_harvest_days=2.0)
    assert local_day(item.ended_at) == TODAY
    window.desk.tasks.change(
        lambda: treatments.record(farm, item, [bay_id], Moment(TODAY, NOW)), lambda _made: None
    )


@pytest.fixture
def late(make_window: Make, farm: OpenFarm, settled: Settled) -> MainWindow:
    """A pick is written down, then the treatment of that morning."""
    bay_id = pick_today(farm)
    window = make_window(farm, page="treatments")
    assert window.inside.isHidden()
    treat(window, farm, bay_id)
    settled()
    window.inside.look()
    settled()
    return window


def test_it_is_said_at_once_and_stays_under_the_header(late: MainWindow, settled: Settled) -> None:
    dialog = late.inside.dialog
    assert isinstance(dialog, InsideDialog)
    assert dialog.isVisible()
    assert "no pick before" in dialog.table.item(0, 3).text()
    texts = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "The product label, local rules and licensed" in texts
    press(Qt.Key.Key_Escape)
    for page in ("week", "picks", "jobs", "bay", "treatments", "visit", "farm"):
        late.go(page)
        settled()
        assert late.inside.isVisible(), page
        assert "✕ 1 record lies inside an interval and is not explained." in late.inside.said.text()


def test_no_reason_is_cut(late: MainWindow, settled: Settled) -> None:
    """Until when nobody may pick stands there whole, in a narrow dialog too."""
    dialog = late.inside.dialog
    assert isinstance(dialog, InsideDialog)
    for width in (dialog.width(), 900):
        dialog.resize(width, 420)
        settled()
        table, measure = dialog.table, QFontMetrics(dialog.table.font())
        for row in range(table.rowCount()):
            text, room = table.item(row, 3).text(), table.columnWidth(3) - AROUND
            box = QRect(0, 0, room, 10_000)
            needed = measure.boundingRect(box, Qt.TextFlag.TextWordWrap, text).height()
            assert table.rowHeight(row) >= needed + 4, text


def test_an_explanation_by_keys(late: MainWindow, farm: OpenFarm, settled: Settled) -> None:
    press(Qt.Key.Key_Escape)
    late.activateWindow()
    settled()
    press(Qt.Key.Key_I, SHIFT)
    settled()
    press(Qt.Key.Key_Tab)
    press(Qt.Key.Key_Return)
    assert "A few words are needed." in late.inside.dialog.notice.text.text()  # type: ignore[union-attr]
    type_text("picked before six")
    press(Qt.Key.Key_Return)
    settled()
    assert not late.inside.dialog.isVisible()  # type: ignore[union-attr]
    assert inside.read(farm) == ()
    late.inside.look()
    settled()
    assert late.inside.isHidden()
    assert any("picked before six" in one.line for one in inside.read(farm, explained=True))


def test_the_way_to_the_treatment(late: MainWindow, settled: Settled) -> None:
    late.inside.dialog.treatment.click()  # type: ignore[union-attr]
    settled()
    assert late.pages.current is not None
    assert late.pages.current.name == "treatments"


def test_what_was_there_before_opens_no_list(make_window: Make, farm: OpenFarm, settled: Settled) -> None:
    """A window that is opened marks it and leaves the person at work."""
    bay_id = pick_today(farm)
    item = factory.treatment(NOW - timedelta(hours=1), re_entry_hours=4.0, pre_harvest_days=2.0)
    treatments.record(farm, item, [bay_id], Moment(TODAY, NOW))
    window = make_window(farm)
    settled()
    assert window.inside.isVisible()
    assert window.inside.dialog is None


def test_an_import_or_a_merge_while_a_visit_is_open_is_looked_at_too(
    make_window: Make, farm: OpenFarm, settled: Settled, qtbot: QtBot
) -> None:
    bay_id = pick_today(farm)
    window = make_window(farm, page="visit")
    settled()
    treat(window, farm, bay_id)
    qtbot.waitUntil(window.inside.isVisible, timeout=5000)


def test_only_bays_in_which_something_was_done_are_read_again(
    make_window: Make, farm: OpenFarm, settled: Settled, monkeypatch: pytest.MonkeyPatch
) -> None:
    bay_id = pick_today(farm)
    window = make_window(farm)
    settled()
    read: list[set[str] | None] = []
    whole = read_work.read_what_was_done
    monkeypatch.setattr(
        read_work, "read_what_was_done", lambda store, bays=None: (read.append(bays), whole(store, bays))[1]
    )
    write_setup.add(farm.store, factory.person(name="Somebody new"))
    window.inside.look()
    settled()
    assert read == []
    treat(window, farm, bay_id)
    window.inside.look()
    settled()
    assert read == [{bay_id}]
    assert window.inside.isVisible()


def test_the_day_on_picks_says_it(late: MainWindow, settled: Settled) -> None:
    press(Qt.Key.Key_Escape)
    late.go("picks")
    settled()
    screen = late.pages.current
    assert "Not explained" in screen.stop.text()  # type: ignore[union-attr]
