"""Jobs that read or write other files than the farm's own: imports, workbooks, packages, new farm files."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Generator
from contextlib import closing
from datetime import date
from functools import cache, partial
from pathlib import Path

import openpyxl
from farm_at_risk import NAME, NOW, OTHERS, laptop, pattern

import postgres
from bayround.actions import closing as week_closing
from bayround.actions import data_package, workbook
from bayround.actions import merge as merging
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.actions.imports import coming_back
from bayround.actions.imports.preview import Options
from bayround.actions.jobs import Moment
from bayround.crops import Crops, load_crops
from bayround.facts.server_address import ServerAddress
from bayround.facts.weeks import Week
from bayround.paper.workbook import saving
from bayround.records import corrections, moving, opening
from bayround.records.farm_file import open_farm
from bayround.records.salvage import salvage
from bayround.week.snapshot import WeekSnapshot

data_package.load_crops = lambda: _crops()  # type: ignore[attr-defined]  # the program's own files never change
MOMENT = Moment(date(2026, 12, 1), NOW, None)
DAMAGED, PACKAGE = "damaged.farm", "farm.zip"
_BAY = "Net house 1 · Bay 1"
_PLANTS = "Date,Scout,Bay,Plant,Height (cm),Flowers\n" + "".join(
    f"2026-11-24,Alder,{_BAY},{plant},{120 + plant},{plant % 4}\n" for plant in range(1, 11)
)
_PICKS = f"Date;Bay;Weight (kg);Grade\n20.11.2026;{_BAY};12,5;first\n24.11.2026;{_BAY};8,25;second\n"
_BROUGHT = ("plants.csv", "plants.xlsx", "picks.csv")
Steps = Generator[Callable[[], object], None, None]


@cache
def _crops() -> Crops:
    return load_crops()


def _open(folder: Path) -> closing[OpenFarm]:
    return closing(OpenFarm(open_farm(folder / NAME), _crops()))


def begin_import(folder: Path) -> None:
    """A farm, a table of plant numbers as text and as a spreadsheet (of other days), and a list of picks."""
    shutil.copyfile(pattern()[0], folder / NAME)
    (folder / "plants.csv").write_text(_PLANTS, encoding="utf-8")
    (folder / "picks.csv").write_text(_PICKS, encoding="utf-8")
    book = openpyxl.Workbook()
    for line in _PLANTS.replace("11-24", "11-17").splitlines():
        book.active.append(line.split(","))  # type: ignore[union-attr]
    book.save(folder / "plants.xlsx")


def importing(folder: Path) -> Steps:
    with _open(folder) as farm:
        for name in _BROUGHT:
            yield partial(_bring_in, farm, folder / name)


def _bring_in(farm: OpenFarm, path: Path) -> None:
    preview = coming_back.look(farm, coming_back.open_file(path), Options(), MOMENT)
    coming_back.bring_in(farm, preview, MOMENT)


def begin_taking_back(folder: Path) -> None:
    begin_import(folder)
    for step in importing(folder):
        step()


def taking_back(folder: Path) -> Steps:
    with _open(folder) as farm:
        for number in range(1, len(_BROUGHT) + 1):
            yield partial(coming_back.back, farm, number, MOMENT)


def begin_with_farm(folder: Path) -> None:
    shutil.copyfile(pattern()[0], folder / NAME)


def handing_over(folder: Path) -> Steps:
    """The weekly workbook is written, the week closed; a correction; the workbook is written over the earlier one."""
    path, readings = folder / "week.xlsx", pattern()[3]
    with _open(folder) as farm:
        written: list[WeekSnapshot] = []
        yield partial(_write, farm, path, written)
        yield lambda: week_closing.keep(farm, written[-1])
        yield partial(
            corrections.correct, farm.store, "reading", readings[-1], "height_cm", 201.0, None, NOW, "again"
        )
        yield partial(_write, farm, path, written)


def _write(farm: OpenFarm, path: Path, written: list[WeekSnapshot]) -> None:
    picture = week_actions.picture(farm, Week.of(date(2026, 10, 13)), date(2026, 10, 13))
    week = week_closing.prepared(picture, MOMENT)
    written.append(week)
    key = (week.revision, week.chain_head, week.closes)
    if key in _books:  # what is made in memory is the same each time
        saving.write_whole(path, _books[key])
    else:
        workbook.write_week(week, path)
        _books[key] = path.read_bytes()


_books: dict[tuple[object, ...], bytes] = {}


def packing(folder: Path) -> Steps:
    with _open(folder) as farm:
        yield partial(data_package.package, farm, folder / PACKAGE)
        yield partial(
            corrections.correct,
            farm.store,
            "reading",
            pattern()[3][0],
            "height_cm",
            201.0,
            None,
            NOW,
            "again",
        )
        yield partial(data_package.package, farm, folder / PACKAGE)


def begin_rebuilding(folder: Path) -> None:
    with closing(OpenFarm(open_farm(laptop(0), read_only=True), _crops())) as farm:
        data_package.package(farm, folder / PACKAGE)


def rebuilding(folder: Path) -> Steps:
    yield lambda: data_package.rebuild(folder / PACKAGE, folder / NAME)


def begin_merging(folder: Path) -> None:
    for number, other in enumerate(OTHERS):
        shutil.copyfile(laptop(number), folder / other)


def merging_into_one(folder: Path) -> Steps:
    yield lambda: merging.merge_to([folder / other for other in OTHERS], folder / NAME)


def begin_salvaging(folder: Path) -> None:
    """A farm file of which a page in the middle is gone, and the end."""
    whole = bytearray(pattern()[0].read_bytes())
    whole[20 * 4096 : 21 * 4096] = bytes(4096)
    (folder / DAMAGED).write_bytes(whole[: -2 * 4096 - 100])


def salvaging(folder: Path) -> Steps:
    yield lambda: salvage(folder / DAMAGED, folder / NAME)


@cache
def _on_server() -> ServerAddress:
    address = postgres.shared().new_database()
    with open_farm(laptop(0), read_only=True) as farm:
        moving.move(farm, address)
    return address


def begin_coming_home(folder: Path) -> None:
    _on_server()


def coming_home(folder: Path) -> Steps:
    with opening.open_place(_on_server()) as farm:
        yield lambda: moving.move(farm, folder / NAME)


JOBS: dict[str, Callable[[Path], Steps]] = {
    "import": importing, "import taken back": taking_back, "weekly workbook": handing_over, "data package": packing,
    "rebuild from a package": rebuilding, "merge into a new file": merging_into_one, "salvage": salvaging,
    "move from a server": coming_home,
}  # fmt: skip
BEGIN: dict[str, Callable[[Path], None]] = {
    "import": begin_import, "import taken back": begin_taking_back, "weekly workbook": begin_with_farm,
    "data package": begin_with_farm, "rebuild from a package": begin_rebuilding,
    "merge into a new file": begin_merging, "salvage": begin_salvaging, "move from a server": begin_coming_home,
}  # fmt: skip
"""What each of them begins with."""
