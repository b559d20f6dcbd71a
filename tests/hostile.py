"""Broken and hostile files against the import: `python -m tests.hostile --mutants 2000`.

Each file is read and looked at as a person would; what can come in comes in on a copy of the farm every so often and
is taken back. Counted are: crashes (anything but a `Problem`), hangs (over ten
seconds of work, or a minute by the clock: other programs may have the processor), changes to the farm by
looking, what is wrong with the farm after letting in and taking back, and the most memory the whole run ever held.
"""

from __future__ import annotations

import argparse
import hashlib
import multiprocessing
import os
import resource
import shutil
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parent / "imports")]

import imports_farm  # noqa: E402

from bayround.actions import farm as farm_actions  # noqa: E402
from bayround.actions import walk_book  # noqa: E402
from bayround.actions.farm import OpenFarm  # noqa: E402
from bayround.actions.imports import coming_back  # noqa: E402
from bayround.actions.imports.preview import Kind, Options  # noqa: E402
from bayround.actions.jobs import Moment  # noqa: E402
from bayround.facts.problems import Problem  # noqa: E402
from bayround.facts.weeks import Week  # noqa: E402
from bayround.records import check, read_season  # noqa: E402
from hostile_files import mutants, with_shared_texts  # noqa: E402

SEED = 20261125
LONGEST_SECONDS = 10.0
MOST_MIB = 300
_LET_IN_EVERY = 10


@dataclass
class Tally:
    """What came of the files."""

    files: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)
    let_in: int = 0
    crashes: list[str] = field(default_factory=list)
    hangs: list[str] = field(default_factory=list)
    changes: list[str] = field(default_factory=list)
    unsound: list[str] = field(default_factory=list)
    longest: tuple[float, str] = (0.0, "")
    waited: float = 0.0
    mib: float = 0.0

    @property
    def clean(self) -> bool:
        """Whether nothing went wrong."""
        return not (self.crashes or self.hangs or self.changes or self.unsound) and self.mib < MOST_MIB


def originals(folder: Path, farm: OpenFarm) -> tuple[list[bytes], list[bytes]]:
    """Return good files to start from: filled walk sheets, kept spreadsheets; lists and logger records as text."""
    import openpyxl

    from bayround.paper.walk_book import places

    path = folder / "walk.xlsx"
    walk_book.write(farm, path, Week.of(imports_farm.TODAY), imports_farm.TODAY)
    book = openpyxl.load_workbook(path)
    book[places.WALK_SHEET][places.DATE_CELL] = imports_farm.TODAY
    book[places.WALK_SHEET][places.SCOUT_CELL] = imports_farm.SCOUT
    for number, bay in enumerate(
        places.parse([row[0].value for row in book[places.IDS_SHEET].iter_rows()]).bays, 1
    ):
        for plant in bay.plants:
            values = imports_farm.numbers(number, plant.number, 2)
            for place, key in enumerate(bay.fields):
                book[bay.sheet].cell(plant.row, places.FIRST_FIELD_COLUMN + place, values[key])
    book.save(path)
    kept = openpyxl.Workbook()
    kept.active.append(["Date", "House", "Bay", "Plant", "Height (cm)", "Fruit", None])
    kept.active.append([None, None, None, None, None, "green", "turning"])
    kept.active.merge_cells("F1:G1")
    for plant in range(1, 6):
        kept.active.append([imports_farm.TODAY, "Net house 1", "Bay 2", plant, 100.5 + plant, 3, "1,0"])
    kept.save(folder / "kept.xlsx")
    picks = "date;bay;kg;fruit\n" + "".join(
        f"{day}.11.2026;Net house 2 · Bay 1;{day},5;{day * 6}\n" for day in range(10, 22)
    )
    log = "timestamp,house,temp (°C)\n" + "".join(
        f"2026-11-{day:02d} {hour:02d}:00,Net house 1,{10 + hour}\n" for day in (12, 13) for hour in range(24)
    )
    books = [path.read_bytes(), (folder / "kept.xlsx").read_bytes()]
    books += [with_shared_texts(book) for book in books]
    return books, [picks.encode(), log.encode()]


def run(wanted: int, seed: int = SEED, *, tell: bool = False, light: bool = False) -> Tally:
    """Try *wanted* files and return what came of them; *light*: small ones, made in this very process."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        imports_farm.make(folder / "farm.bayround")
        farm = farm_actions.open_farm(folder / "farm.bayround")
        moment = Moment(
            imports_farm.TODAY, imports_farm.NOW, read_season.read_season(farm.store).people[0].id
        )
        books, texts = originals(folder, farm)
        made = _made_here if light else _made_elsewhere
        for number, (way, file) in enumerate(made(books, texts, wanted, seed, folder)):
            _try(way, file, number, farm, moment, folder, tally)
            file.unlink()
            if tell and number % 100 == 99:
                print(f"{number + 1} of {wanted}", file=sys.stderr, flush=True)
        farm.close()
    tally.mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return tally


def _made_elsewhere(
    books: list[bytes], texts: list[bytes], wanted: int, seed: int, folder: Path
) -> Iterator[tuple[str, Path]]:
    """Yield (way, file) of broken files made in a process of their own, whose memory does not count here."""
    away = multiprocessing.get_context("spawn")
    queue = away.Queue(maxsize=8)
    maker = away.Process(target=_make, args=(books, texts, wanted, seed, str(folder), queue))
    maker.start()
    for _number in range(wanted):
        way, name = queue.get()
        yield way, Path(name)
    maker.join()


def _made_here(
    books: list[bytes], texts: list[bytes], wanted: int, seed: int, folder: Path
) -> Iterator[tuple[str, Path]]:
    for mutant in mutants(books, texts, wanted, seed, light=True):
        file = folder / f"file{mutant.suffix}"
        file.write_bytes(mutant.raw)
        yield mutant.way, file


def _make(books: list[bytes], texts: list[bytes], wanted: int, seed: int, folder: str, queue: Any) -> None:
    for number, mutant in enumerate(mutants(books, texts, wanted, seed)):
        file = Path(folder) / f"file{number}{mutant.suffix}"
        file.write_bytes(mutant.raw)
        queue.put((mutant.way, str(file)))


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _try(
    way: str, file: Path, number: int, farm: OpenFarm, moment: Moment, folder: Path, tally: Tally
) -> None:
    name, before = f"{number} {way}", _digest(farm.path)
    began, worked = time.monotonic(), time.process_time()
    tally.files[way] += 1
    options = Options(
        doubtful=bool(number % 2), finish=bool(number % 3), kind=(None, None, *Kind)[number % 6]
    )
    try:
        book = coming_back.open_file(file)
        preview = coming_back.look(farm, book, options, moment)
        if preview.anything and tally.let_in * _LET_IN_EVERY <= number:
            tally.let_in += 1
            _let_in(farm, preview, moment, folder, name, tally)
    except Problem:
        tally.refused[way] += 1
    except Exception:
        tally.crashes.append(f"{name}\n{traceback.format_exc()}")
    took, worked = time.monotonic() - began, time.process_time() - worked
    tally.longest = max(tally.longest, (worked, name))
    tally.waited = max(tally.waited, took)
    if worked > LONGEST_SECONDS or took > 6 * LONGEST_SECONDS:
        tally.hangs.append(f"{name}: {worked:.1f} s of work, {took:.1f} s by the clock")
    if _digest(farm.path) != before:
        tally.changes.append(name)


def _let_in(
    farm: OpenFarm, preview: coming_back.Preview, moment: Moment, folder: Path, name: str, tally: Tally
) -> None:
    """Let it in on a copy and take it back; the farm has to be sound both times."""
    copy = Path(shutil.copy(farm.path, folder / "copy.bayround"))
    other = farm_actions.open_farm(copy)
    try:
        coming_back.bring_in(other, preview, moment)
        found = check.check(other.store)
        coming_back.back(other, 1, moment)
        found += check.check(other.store)
        if found:
            tally.unsound.append(f"{name}: {found}")
    finally:
        other.close()
        copy.unlink()


def table(tally: Tally) -> str:
    """Return what came of the files, to be read."""
    lines = [f"{'way':34}{'files':>7}{'refused':>9}{'looked at':>11}"]
    for way, count in sorted(tally.files.items()):
        refused = tally.refused[way]
        lines.append(f"{way:34}{count:>7}{refused:>9}{count - refused:>11}")
    total, refused = tally.files.total(), tally.refused.total()
    lines.append(f"{'all':34}{total:>7}{refused:>9}{total - refused:>11}")
    lines.append(f"let in on a copy and taken back: {tally.let_in}, unsound afterwards: {len(tally.unsound)}")
    lines.append(f"crashes: {len(tally.crashes)}; hangs over {LONGEST_SECONDS:.0f} s: {len(tally.hangs)}; "
                 f"changes to the farm by looking: {len(tally.changes)}")  # fmt: skip
    lines.append(
        f"most work on one file: {tally.longest[0]:.2f} s ({tally.longest[1]}), {tally.waited:.2f} s by the clock; most memory: {tally.mib:.0f} MiB of {MOST_MIB}"
    )
    for what in (*tally.crashes[:5], *tally.hangs[:5], *tally.changes[:5], *tally.unsound[:5]):
        lines.append(what)
    return "\n".join(lines)


def main() -> int:
    """Try the files and print the table; 1 when something went wrong."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--mutants", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=SEED)
    chosen = parser.parse_args()
    os.environ["TZ"] = "UTC"
    time.tzset()
    tally = run(chosen.mutants, chosen.seed, tell=True)
    print(table(tally))
    return 0 if tally.clean else 1


if __name__ == "__main__":
    raise SystemExit(main())
