"""The program is killed at a random moment, again and again: every acknowledged cell is still there.

This proves the program's side. That the disk keeps what was synced is SQLite's promise with
``synchronous=EXTRA`` (sqlite.org, "Atomic Commit In SQLite"); a power cut is not tried here.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import random
import sys
import time
from collections.abc import Callable
from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any

import keying_child
import pytest

import factory
from bayround.facts.ids import new_id
from bayround.facts.rounds import READING_FIELDS, Round, Visit
from bayround.records.check import check, damage, driver
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.read_visit import read_revision, read_visit
from bayround.records.store import Store
from bayround.records.write_setup import add
from bayround.records.write_visit import save_cell

KILLS = 50


def farm_with_a_draft(path: Path) -> tuple[Visit, list[str]]:
    season = factory.season(factory.past())
    walk = Round(new_id(), date(2026, 10, 20), season.people[0].id)
    visit = Visit(new_id(), walk.id, season.bays[0].id, season.plantings[0].id, walk.held_on, walk.scout_id)
    known = [fact for part in fields(season) if part.name != "farm" for fact in getattr(season, part.name)]
    with create_farm(path, "Hill farm") as store:
        add(store, *known, walk, visit)
    return visit, [plant.id for plant in season.marked_plants]


def cells_of(store: Store, visit_id: str) -> dict[tuple[str, str], float]:
    readings = read_visit(store, visit_id).readings
    return {
        (reading.marked_plant_id, field): value
        for reading in readings
        for field in READING_FIELDS
        if (value := reading.value(field)) is not None
    }


def sound(store: Store) -> bool:
    with store.reading() as connection:
        return damage(driver(connection)) == []


def keyed_until_killed(start: Callable[..., Any], chance: random.Random, at_most: int = 11) -> list[Any]:
    """Start a child, kill it after so many steps and a random wait; return what it acknowledged."""
    hears, says = multiprocessing.Pipe(duplex=False)
    child = start(says)
    says.close()
    told = [hears.recv() for _cell in range(chance.randint(1, at_most))]
    time.sleep(chance.uniform(0.0, 0.005))
    child.kill()
    child.join()
    with hears, contextlib.suppress(EOFError):
        while True:
            told.append(hears.recv())
    return told


def test_fifty_kills_lose_no_acknowledged_cell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "Hill.bayround"
    visit, plants = farm_with_a_draft(path)
    context = warm_processes(monkeypatch)
    chance = random.Random(20261125)
    expected: dict[tuple[str, str], float] = {}
    hot, number = 0, 1
    for kill in range(KILLS):

        def start(says: Any, first: int = number) -> Any:
            child = context.Process(target=keying_child.key_in, args=(path, visit.id, plants, first, says))
            child.start()
            return child

        told = keyed_until_killed(start, chance)
        hot += path.with_name(path.name + "-journal").exists()
        expected |= {(plant, field): value for plant, field, value in told}
        number = int(told[-1][2]) + 1
        with open_farm(path) as store:
            kept = cells_of(store, visit.id)
            # the one cell after the last acknowledged may have been saved without a word
            unsaid = {cell: value for cell, value in kept.items() if expected.get(cell) != value}
            assert set(unsaid.values()) <= {float(number)}
            assert kept.keys() == (expected | unsaid).keys()
            assert check(store) == () if kill % 10 == 0 else sound(store)
            expected |= unsaid
            number += len(unsaid)
            assert read_revision(store) == number  # one for the farm, one a cell
    assert number > 4 * KILLS
    assert hot > 0  # some were killed in the middle of a save


def warm_processes(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Return a way to start processes that have the program loaded already (where the system can)."""
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    program = sys.modules["__main__"]  # pytest; the children need not load it
    monkeypatch.setattr(program, "__spec__", None)
    monkeypatch.delattr(program, "__file__", raising=False)
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["bayround.records.write_visit", "bayround.records.farm_file"])
    return context


def test_the_next_writer_is_not_kept_out_by_the_dead(tmp_path: Path) -> None:
    path = tmp_path / "Hill.bayround"
    visit, plants = farm_with_a_draft(path)
    context = multiprocessing.get_context("spawn")
    hears, says = context.Pipe(duplex=False)
    child = context.Process(target=keying_child.key_in, args=(path, visit.id, plants, 1, says))
    child.start()
    says.close()
    hears.recv()
    child.kill()
    child.join()
    hears.close()
    with open_farm(path) as store:
        save_cell(store, visit.id, plants[0], "height_cm", 55.5)
        assert cells_of(store, visit.id)[plants[0], "height_cm"] == 55.5
