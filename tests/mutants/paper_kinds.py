"""Workbooks and text tables that come from elsewhere: sound ones, and the ways in which the program takes them."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import paper_damage

from bayround.actions import farm as farm_actions
from bayround.actions import setup, verify, walk_book, workbook
from bayround.actions import week as week_actions
from bayround.actions.imports import coming_back
from bayround.actions.imports.preview import Options
from bayround.actions.jobs import Moment
from bayround.facts.weeks import Week
from bayround.paper.walk_book import places

TODAY = date(2026, 12, 1)
MOMENT = Moment(TODAY, datetime(2026, 12, 1, 12, tzinfo=UTC), None)
_PICKS = """Harvest list;;;;
Date;Bay;Weight (kg);Pieces;Grade
20.11.2026;{bay};12,5;70;first
24.11.2026;{bay};8,25;;second
24.11.2026;{bay};99999;;
Total;;44,75;;
"""
_CLIMATE = "Time,Temperature (C),Humidity (%)\n" + "".join(
    f"2026-11-{20 + hour // 24:02d} {hour % 24:02d}:00,{18 + hour % 12},{60 + hour % 30}\n"
    for hour in range(72)
)
_PLANTS = "Date,Bay,Plant,Height (cm),Flowers\n" + "".join(
    f"2026-11-24,{{bay}},{plant},{120 + plant},{plant % 4}\n" for plant in range(1, 11)
)


def make_sound(folder: Path, live: Path) -> dict[str, tuple[Path, ...]]:
    """Write the sound files: a filled walk sheet, a spreadsheet, a weekly workbook; picks, climate, plant numbers."""
    with closing(farm_actions.open_farm(live)) as farm:
        known = setup.read(farm)
        walk = folder / "walk.xlsx"
        walk_book.write(farm, walk, Week.of(TODAY), TODAY)
        _fill(walk, known.people[0].name)
        weekly = folder / "week.xlsx"
        picture = week_actions.with_history(farm, week_actions.picture(farm, None, TODAY))
        workbook.write_week(picture, weekly, crops=farm.crops)
    bay = f"{known.houses[0].name} · {known.bays[0].name}"
    texts = []
    for name, text in (("picks", _PICKS), ("climate", _CLIMATE), ("plants", _PLANTS)):
        path = folder / f"{name}.csv"
        path.write_text(text.replace("{bay}", bay), encoding="utf-8")
        texts.append(path)
    sheet = folder / "plants.xlsx"
    book = openpyxl.Workbook()
    for line in _PLANTS.replace("{bay}", bay).splitlines():
        book.active.append(line.split(","))  # type: ignore[union-attr]
    book.save(sheet)
    return {"workbook": (walk, sheet, weekly), "text table": tuple(texts)}


def _fill(walk: Path, scout: str) -> None:
    book = openpyxl.load_workbook(walk)
    front = book[places.WALK_SHEET]
    front[places.DATE_CELL], front[places.SCOUT_CELL] = TODAY, scout
    ids = [row[0].value for row in book[places.IDS_SHEET].iter_rows()]
    for bay in places.parse(ids).bays:
        for plant in bay.plants:
            for place in range(3):
                book[bay.sheet].cell(plant.row, places.FIRST_FIELD_COLUMN + place, 100 + place)
    book.save(walk)


def bring_it_in(mutant: Path, live: Path) -> None:
    """Look at it and let in what it brings."""
    with closing(farm_actions.open_farm(live)) as farm:
        known = setup.read(farm)
        said = Options(house_id=known.houses[0].id, scout_id=known.people[0].id)
        preview = coming_back.look(farm, coming_back.open_file(mutant), said, MOMENT)
        coming_back.bring_in(farm, preview, MOMENT)


def verify_it(mutant: Path, live: Path) -> None:
    """Compare it with the farm."""
    with closing(farm_actions.open_farm(live, read_only=True)) as farm:
        verify.verify(farm, mutant)


mutate_workbook, mutate_text = paper_damage.workbook, paper_damage.text_table
