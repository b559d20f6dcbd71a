"""A short run of `python -m tests.mutants`; the long one is run by hand (DEVELOPERS.md)."""

from __future__ import annotations

import functools
import random
import sqlite3
from pathlib import Path

import damage
import lies
import pytest
import trying

from bayround.actions import farm as farm_actions


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> trying.Bench:
    return trying.make_bench(tmp_path_factory.mktemp("mutants") / "bench")


def test_broken_and_lying_farm_files_are_taken_or_refused_and_change_nothing(
    bench: trying.Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_actions, "load_crops", functools.cache(farm_actions.load_crops))
    came = [trying.try_one(bench, trying.KINDS[0], number, seed=7) for number in range(16)]
    assert {outcome.partition("\n")[0] for _way, outcome in came} == {trying.TAKEN, trying.REFUSED}, came
    assert len({way for way, _outcome in came}) == len(trying.KINDS[0].ways)
    assert trying.digest_of(bench.live) == bench.digest


def test_a_fault_a_change_and_a_refusal_are_told_apart(bench: trying.Bench) -> None:
    def fault(_mutant: Path, _live: Path) -> None:
        raise ZeroDivisionError

    def change(_mutant: Path, live: Path) -> None:
        with sqlite3.connect(live) as connection:
            connection.execute("UPDATE person SET name = 'x'")
        connection.close()

    mutant = bench.folder / "any"
    assert trying._use(bench, fault, mutant).startswith(trying.FAULT)
    assert trying._use(bench, change, mutant) == f"{trying.CHANGED}, {trying.TAKEN}"
    assert trying.digest_of(bench.live) == bench.digest  # put back for the next one


def test_every_damage_and_lie_changes_something(bench: trying.Bench, tmp_path: Path) -> None:
    sound = bench.live.read_bytes()
    for one in damage.DAMAGES:
        changed = []
        for seed in range(6):
            content = bytearray(sound)
            one(content, random.Random(seed))
            changed.append(bytes(content) != sound)
        assert any(changed), one.__name__
    mutant = tmp_path / "lie.bayround"
    lied = 0
    for seed in range(6):
        mutant.write_bytes(sound)
        lies.lie(mutant, random.Random(seed))
        lied += mutant.read_bytes() != sound
    assert lied >= 3
