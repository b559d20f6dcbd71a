"""Compare with last week: only what moved by more than its uncertainty is said to have changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from window_hands import TODAY, press

from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.figures.figure import Figure, Why
from bayround.week import changed
from bayround.week.moved import Moved, between
from bayround.week.snapshot import BayWeek
from bayround.window import colours
from bayround.window.main_window import MainWindow
from bayround.window.week import since_marks
from bayround.window.week.week_screen import WeekScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


def of(value: float, low: float | None, high: float | None) -> Figure:
    return Figure("growth_cm_week", "Growth", value, "cm/week", 1, Why("A rule."), low=low, high=high)


@pytest.mark.parametrize(
    ("before", "now", "text", "clear"),
    [
        (of(10, 9, 11), of(14, 12, 16), "rose 10.0 → 14.0", True),
        (of(10, 9, 11), of(6, 5, 8), "fell 10.0 → 6.0", True),
        (of(10, 9, 11), of(12, 10.9, 14), "≈ 10.0 → 12.0", False),
        (of(10, 9, 11), of(12, 11, 14), "≈ 10.0 → 12.0", False),
    ],
)
def test_intervals_that_touch_are_no_change(before: Figure, now: Figure, text: str, clear: bool) -> None:
    moved = between(before, now)
    assert moved is not None
    assert (moved.text, moved.is_clear) == (text, clear)


def test_without_an_interval_nothing_is_compared() -> None:
    assert between(of(10, None, None), of(99, 98, 100)) is None
    assert between(None, of(99, 98, 100)) is None


def test_marks_tell_rose_fell_and_may_be_chance_by_shape(farm: OpenFarm) -> None:
    seen = week_actions.picture(farm, None, TODAY).bays[0]
    pictures = set()
    for moved in (
        Moved(of(10, 9, 11), of(14, 12, 16), True, 1.0),
        Moved(of(10, 9, 11), of(6, 5, 8), False, 1.0),
        Moved(of(10, 9, 11), of(11, 9, 12), True, -1.0),
        None,
    ):
        since = (moved,) if moved else ()
        pictures.add(_painted(replace(seen, since=since)))
    assert len(pictures) == 4


def _painted(seen: BayWeek) -> bytes:
    image = QImage(60, 40, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    since_marks.paint(painter, QRectF(0, 0, 60, 40), seen, "growth_cm_week", colours.LIGHT)
    painter.end()
    return bytes(image.constBits())


def test_comparing_shows_the_same_changes_as_the_workbook(
    make_window: Make, farm: OpenFarm, settled: Settled
) -> None:
    window = make_window(farm)
    screen = cast(WeekScreen, window.pages.current)
    screen.step_week(-1)  # the last week in which bays were visited that were visited in the week before too
    settled()
    assert screen.snapshot is not None
    found, compared = changed.changes(screen.snapshot)
    assert compared > 6
    screen.compare.setFocus()
    press(Qt.Key.Key_Space)
    settled()
    said = {
        (seen.bay.id, moved.now.id, moved.rose)
        for seen in screen.snapshot.bays
        for moved in seen.since
        if moved.is_clear
    }
    assert said == {(one.seen.bay.id, one.now.id, one.rose) for one in found}
    assert f"{len(found)} of {compared} figures" in screen.notice.text.text()
    headings = [screen.bays.model.column(place).id for place in range(screen.bays.model.columnCount())]
    assert headings == ["house", "bay", *(column.id for column in changed.COLUMNS)]
    growth = next(moved for seen in screen.snapshot.bays for moved in seen.since if "growth" in moved.now.id)
    row = next(at for at in range(6) if growth in screen.bays.model.bay_week(at).since)  # type: ignore[union-attr]
    assert screen.bays.model.data(screen.bays.model.index(row, 2)) == growth.text
    screen.measure.setCurrentIndex(1)
    assert "since last week" in screen.map.describe(screen.bays.model.bay_week(row))  # type: ignore[arg-type]
    press(Qt.Key.Key_Space)
    settled()
    assert all(not seen.since for seen in screen.snapshot.bays)
    assert screen.bays.columns.currentData() == "overview"


def test_weeds_and_days_cannot_be_compared_and_the_legend_says_so() -> None:
    assert "can't be compared" in since_marks.legend_line("weed_cover_percent", "2026-W46")
    for measure in ("growth_cm_week", "load_over_band", "incidence_percent"):
        assert "rose" in since_marks.legend_line(measure, "2026-W46")
