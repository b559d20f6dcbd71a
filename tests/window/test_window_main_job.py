"""The main job from an empty farm to the workbook, by keyboard only, on a real file and a real window.

New farm → person → house → bay → planting → ten marked plants → a visit of ten plants → finish →
the Jobs screen shows the job expected → the workbook agrees cell by cell with the Week screen and the
command line.
"""

from __future__ import annotations

import io
import json
import random
from collections.abc import Callable
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any, cast

import openpyxl
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from window_hands import TODAY, Answers, ctrl, fill, press, type_text

from bayround import start
from bayround.actions import setup, week
from bayround.actions.farm import OpenFarm
from bayround.facts.rounds import VisitState
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.records import read_season
from bayround.week.columns import COLUMNS
from bayround.window.main_window import MainWindow
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.visit.screen import VisitScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]
FIELDS = (
    "height_cm",
    "last_tie_cm",
    "flowers",
    "fruit_set",
    "fruit_green",
    "fruit_turning",
    "fruit_coloured",
)


def set_up_by_keyboard(settled: Settled) -> None:
    """Person, house, bay, planting, marked plants: Ctrl+N adds what comes next, Ctrl+S keeps it."""
    ctrl(Qt.Key.Key_N)
    fill("Willow")
    ctrl(Qt.Key.Key_S)
    settled()
    ctrl(Qt.Key.Key_N)
    fill("North")
    press(Qt.Key.Key_Return)  # a net house
    for text in ("40", "10", "2.4"):
        fill(text)
    ctrl(Qt.Key.Key_S)
    settled()
    ctrl(Qt.Key.Key_N)
    for text in ("N1", "10", "40", "10"):
        fill(text)
    ctrl(Qt.Key.Key_S)
    settled()
    ctrl(Qt.Key.Key_N)
    type_text("Sweet")
    press(Qt.Key.Key_Return)
    for text in ("Variety P1", "2026-08-03", "2300"):
        fill(text)
    ctrl(Qt.Key.Key_S)
    settled()
    ctrl(Qt.Key.Key_N)
    press(Qt.Key.Key_Return)
    settled()


def values_of_bay(seed: int) -> list[dict[str, int]]:
    """Ten plants as a scout reads them: heads far above the last tie, so that trellising is due."""
    chance = random.Random(seed)
    found = []
    for _plant in range(10):
        height = round(chance.gauss(118, 5))
        found.append(
            {
                "height_cm": height,
                "last_tie_cm": height - chance.randint(45, 55),
                "flowers": chance.randint(0, 7),
                "fruit_set": chance.randint(0, 3),
                "fruit_green": chance.randint(0, 3),
                "fruit_turning": 0,
                "fruit_coloured": 0,
            }
        )
    return found


def key_in(values: list[dict[str, int]]) -> tuple[int, int]:
    """Type the bay; Enter only where the cell is still open. Return keys pressed and characters of the data."""
    keys = characters = 0
    for plant in values:
        for field in FIELDS:
            text = str(plant[field])
            characters += len(text)
            for mark in text:
                type_text(mark)
                keys += 1
            QApplication.processEvents()
            if isinstance(QApplication.focusWidget(), NumberEditor):
                press(Qt.Key.Key_Return)
                keys += 1
                QApplication.processEvents()
    return keys, characters


def run(*arguments: str) -> str:
    """Run a command of the program and return what it printed."""
    printed = io.StringIO()
    with redirect_stdout(printed):
        assert start.main(arguments) == 0
    return printed.getvalue()


def test_from_an_empty_farm_to_the_workbook(
    make_window: Make, empty_farm: OpenFarm, settled: Settled, tmp_path: Path
) -> None:
    target = tmp_path / "week.xlsx"
    window = make_window(empty_farm, Answers(path=target), page="farm")
    set_up_by_keyboard(settled)
    assert len(setup.read(empty_farm).marked_plants) == 10
    values = values_of_bay(5)
    _visit_by_keyboard(window, values, settled)
    _kept_as_typed(empty_farm, values)
    ctrl(Qt.Key.Key_4)
    settled()
    _trellis_is_due(window, empty_farm, values)
    ctrl(Qt.Key.Key_E)
    settled()
    settled()
    assert target.is_file()
    press(Qt.Key.Key_Return)  # closes the word that it is written
    window.activateWindow()  # no window manager here to give the keyboard back
    settled()
    _agrees(window, empty_farm, target, settled)


def _visit_by_keyboard(window: MainWindow, values: list[dict[str, int]], settled: Settled) -> None:
    """Begin a round, open its first bay, key it in, finish it; count the keys."""
    ctrl(Qt.Key.Key_2)
    settled()
    screen = cast(VisitScreen, window.pages.current)
    fill(TODAY.isoformat())  # Enter begins the round with the only scout there is
    settled()
    press(Qt.Key.Key_Return)  # the first bay of the walk
    settled()
    assert screen.work.visit_id
    keys, characters = key_in(values)
    settled()
    print(f"{keys} keys for {characters} characters = {keys / characters:.3f}")
    assert keys / characters <= 1.25
    ctrl(Qt.Key.Key_Return)
    settled()


def _kept_as_typed(farm: OpenFarm, values: list[dict[str, int]]) -> None:
    season = read_season.read_season(farm.store)
    assert [visit.state for visit in season.visits] == [VisitState.DONE]
    numbers = {plant.id: plant.number for plant in season.marked_plants}
    kept = sorted(season.readings, key=lambda reading: numbers[reading.marked_plant_id])
    assert [[reading.value(field) for field in FIELDS] for reading in kept] == [
        [plant[field] for field in FIELDS] for plant in values
    ]


def _trellis_is_due(window: MainWindow, farm: OpenFarm, values: list[dict[str, int]]) -> None:
    """The job expected is there, with the number worked out from the typed values beside it."""
    trellis = next(job for job in week.picture(farm, None, TODAY).jobs if job.kind is JobKind.TRELLIS)
    above = [plant["height_cm"] - plant["last_tie_cm"] for plant in values]
    assert f"{sum(above) / 10:.1f} cm above the last tie" in trellis.reason
    assert trellis.priority == 1
    assert trellis.kind_text in _texts_of(window)


def _texts_of(window: MainWindow) -> list[str]:
    """Every text in the job list of the Jobs screen."""
    from PySide6.QtWidgets import QTableView

    found = []
    for view in window.pages.current.findChildren(QTableView):  # type: ignore[union-attr]
        model = view.model()
        for row in range(model.rowCount()):
            found += [str(model.index(row, column).data()) for column in range(model.columnCount())]
    return [text.strip() for text in found]


def _agrees(window: MainWindow, farm: OpenFarm, workbook: Path, settled: Settled) -> None:
    """Window text = workbook cell as displayed = command-line word."""
    snapshot = week.picture(farm, Week.of(TODAY), TODAY)
    book = openpyxl.load_workbook(workbook)
    sheet = book["Bays"]
    header = next(row for row in sheet.iter_rows() if row[0].value == COLUMNS[0].title)
    cells = {cell.value: sheet.cell(row=cell.row + 1, column=cell.column) for cell in header}
    for column in COLUMNS:
        text = column.text(snapshot.bays[0])
        assert _displayed(cells[column.title]) == text, column.id

    ctrl(Qt.Key.Key_1)
    settled()
    on_screen = _texts_of(window)
    for column_id in ("growth_cm_week", "weed_cover_percent", "jobs_due"):
        column = next(item for item in COLUMNS if item.id == column_id)
        assert column.text(snapshot.bays[0]) in on_screen

    jobs: list[dict[str, Any]] = json.loads(run("jobs", str(farm.path), "--json"))
    assert [job["reason"] for job in jobs] == [job.reason for job in snapshot.jobs]
    rows = list(book["Jobs due"].iter_rows(values_only=True))
    for job in jobs:
        assert any(job["reason"] in row for row in rows)
        for number in job["numbers"]:
            shown = next(
                figure for seen in snapshot.jobs for figure in seen.numbers if figure.id == number["id"]
            )
            assert (number["value"] if number["value"] is not None else "–") in (shown.text, shown.cell)


def _displayed(cell: Any) -> str:
    """A cell's value as a spreadsheet shows it."""
    if cell.value is None:
        return "–"
    if hasattr(cell.value, "strftime"):
        return cast(str, cell.value.strftime("%Y-%m-%d"))
    if isinstance(cell.value, float | int):
        decimals = len(cell.number_format.partition(".")[2])
        return f"{cell.value:.{decimals}f}"
    return str(cell.value)
