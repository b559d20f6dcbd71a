"""Each mutant is used in every way a person could use such a file; what comes of it is told in one word.

Anything but success or a `Problem` is a fault of the program. Whatever happens, the live farm holds what it held,
unless it took something in on purpose: then it is put back and the next mutant finds it as it was.
"""

from __future__ import annotations

import hashlib
import random
import shutil
import sqlite3
import traceback
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import damage
import lies
import package_kind
import paper_kinds

import factory
from bayround.actions import check as check_actions
from bayround.actions import farm as farm_actions
from bayround.actions import merge, rounds, setup
from bayround.actions import week as week_actions
from bayround.facts.problems import Problem
from bayround.facts.season import SeasonFacts
from bayround.records import backup, placing, write_setup

NOW = datetime(2026, 12, 1, 9, tzinfo=UTC)
TAKEN, REFUSED, FAULT, CHANGED = "taken", "refused in words", "fault", "live data changed"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of file: how to make a mutant of a sound one, and the ways in which it is used."""

    name: str
    suffix: str
    mutate: Callable[[Path, Path, random.Random], None]
    ways: tuple[Callable[[Path, Path], None], ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """The sound files that mutants are made of, and the live farm."""

    folder: Path
    live: Path
    as_it_was: Path
    sound: dict[str, tuple[Path, ...]]
    digest: str


def make_bench(folder: Path) -> Bench:
    """Make a small farm, the same farm gone on elsewhere, and one of the first version."""
    folder.mkdir(parents=True, exist_ok=True)
    live, other = folder / "live.bayround", folder / "other.bayround"
    season = factory.season(factory.past())
    with closing(farm_actions.create(live, "Test farm")) as farm:
        write_setup.add(farm.store, *_facts(season))
    shutil.copyfile(live, other)
    with closing(farm_actions.open_farm(other)) as farm:
        held = rounds.start_round(farm, date(2026, 12, 1), season.people[0].id)
        sheet = rounds.open_visit(farm, held.id, season.bays[0].id, NOW)
        for row in sheet.rows[:4]:
            rounds.save_cell(farm, sheet.visit.id, row.plant.id, "height_cm", 140.0)
        rounds.finish(farm, sheet.visit.id, NOW)
    old = Path(__file__).parents[1] / "old_files" / "version_1.bayround"
    as_it_was = Path(shutil.copyfile(live, folder / "as it was"))
    sound = {"farm file": (other, other, old), **paper_kinds.make_sound(folder, live)}
    sound["data package"] = package_kind.make_sound(folder, other)
    return Bench(folder, live, as_it_was, sound, digest_of(live))


def _facts(season: SeasonFacts) -> list[object]:
    names = [name for name in season.__dataclass_fields__ if name != "farm"]
    return [fact for name in names for fact in getattr(season, name)]


def digest_of(path: Path) -> str:
    """Return a digest of every row of every table."""
    total = hashlib.sha256()
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
        for line in connection.iterdump():
            total.update(line.encode("utf-8", "surrogatepass"))
    return total.hexdigest()


def mutate_farm_file(sound: Path, mutant: Path, chance: random.Random) -> None:
    """Damage the bytes of a farm file, or let it lie; now and then a strange journal lies beside it."""
    if chance.random() < 0.5:
        mutant.write_bytes(damage.damaged(sound.read_bytes(), chance))
    else:
        shutil.copyfile(sound, mutant)
        lies.lie(mutant, chance)
    if chance.random() < 0.05:
        journal = mutant.with_name(mutant.name + chance.choice(("-journal", "-wal", "-shm")))
        journal.write_bytes(damage.damaged(sound.read_bytes()[:8192], chance))


def look_at_it(mutant: Path, _live: Path) -> None:
    """Open it for reading, check it, and reckon its week."""
    with closing(farm_actions.open_farm(mutant, read_only=True)) as farm:
        check_actions.check(farm)
        week_actions.picture(farm, None, date(2026, 12, 1))


def work_in_it(mutant: Path, _live: Path) -> None:
    """Open it for writing, with what that brings (upgrade, backup), and begin a round."""
    with closing(farm_actions.open_farm(mutant)) as farm:
        farm_actions.back_up(farm, mutant.parent / "backups", NOW)
        for person in setup.read(farm).people[:1]:
            rounds.start_round(farm, date(2026, 12, 2), person.id)


def merge_it(mutant: Path, live: Path) -> None:
    """Take it into the live farm."""
    with closing(farm_actions.open_farm(live)) as farm:
        merge.preview(farm, [mutant])
        merge.merge_into(farm, [mutant], NOW)


def restore_it(mutant: Path, live: Path) -> None:
    """Take it for a backup."""
    copy = placing.unfinished(live.parent)
    try:
        backup.copy_sound(mutant, copy)
    finally:
        placing.discard(copy)


KINDS = (
    Kind("farm file", ".bayround", mutate_farm_file, (look_at_it, work_in_it, merge_it, restore_it)),
    Kind(
        "workbook", ".xlsx", paper_kinds.mutate_workbook,
        (paper_kinds.bring_it_in, paper_kinds.bring_it_in, paper_kinds.verify_it),
    ),
    Kind("text table", ".csv", paper_kinds.mutate_text, (paper_kinds.bring_it_in,)),
    Kind("data package", ".zip", package_kind.mutate, (package_kind.rebuild_it,)),
)  # fmt: skip
TAKES_IN = (merge_it, paper_kinds.bring_it_in)
"""The ways that may change the live farm, when the file is taken."""


def try_one(bench: Bench, kind: Kind, number: int, seed: int) -> tuple[str, str]:
    """Make mutant *number* and use it in one of the ways, in turn; return the way and what came of it."""
    chance = random.Random(f"{seed} {kind.name} {number}")
    way = kind.ways[number % len(kind.ways)]
    folder = bench.folder / "mutant"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    mutant = folder / f"mutant{kind.suffix}"
    kind.mutate(chance.choice(bench.sound[kind.name]), mutant, chance)
    return way.__name__, _use(bench, way, mutant)


def _use(bench: Bench, way: Callable[[Path, Path], None], mutant: Path) -> str:
    try:
        way(mutant, bench.live)
        outcome = TAKEN
    except Problem:
        outcome = REFUSED
    except Exception:
        outcome = f"{FAULT}\n{traceback.format_exc()}"
    if digest_of(bench.live) != bench.digest:
        if outcome != TAKEN or way not in TAKES_IN:
            outcome = f"{CHANGED}, {outcome}"
        shutil.copyfile(bench.as_it_was, bench.live)
    return outcome
