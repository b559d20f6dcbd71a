"""The window's text, the cell as LibreOffice shows it and the command's word are one; sums agree, dates are dates.

Here one generated farm; `python -m tests.agreement --farms 200` takes every week of the sample farm and of 200 more.
"""

from __future__ import annotations

from pathlib import Path

import faces
import many_weeks
import openpyxl
import pytest

from bayround.actions.workbook import write_week

pytestmark = pytest.mark.office


@pytest.mark.usefixtures("qtbot")
def test_all_faces_say_the_same_and_a_changed_cell_is_found(tmp_path: Path) -> None:
    weeks = list(many_weeks.generated_weeks(1, 12))[-1:]
    made = [write_week(week, tmp_path / f"{name}.xlsx", crops=many_weeks.CROPS) for name, week in weeks]
    changed = _changed(made[-1], tmp_path / "changed.xlsx")
    shown = tmp_path / "shown"
    shown.mkdir()
    faces.convert([*made, changed], shown)
    tally = faces.Tally()
    for (_name, week), path in zip(weeks, made):
        faces.compare(tally, week, path, shown)
    assert tally.wrong == []
    assert tally.texts > 200
    assert tally.sums > 14
    assert tally.dates > 20
    faces.compare(tally, weeks[-1][1], changed, shown)
    wrong = "\n".join(tally.wrong)
    for found in (
        "variety",
        "age_weeks",
        "Sum of heights differs",
        "sums do not agree",
        "date as text",
        "formula",
    ):
        assert found in wrong, found


def _changed(path: Path, target: Path) -> Path:
    """Change a text, a number format, a reading, a date and a note, as somebody might."""
    book = openpyxl.load_workbook(path)
    book["Bays"]["D5"] = "another variety"
    book["Bays"]["E5"].number_format = "0.0000"
    book["Readings"]["J5"] = 7777
    book["Readings"]["D5"] = "2026-11-17"
    book["Heights"]["B2"] = "=1/0"
    book.save(target)
    return target


def test_the_same_seed_gives_the_same_farm() -> None:
    assert many_weeks.generated_farms.farm_of(5) == many_weeks.generated_farms.farm_of(5)
    assert many_weeks.generated_farms.farm_of(5) != many_weeks.generated_farms.farm_of(6)
