"""Killed while backing up or restoring: a file with a backup's name is sound, and nothing saved is lost."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import backing_up_child
import pytest
from test_kill import farm_with_a_draft, keyed_until_killed, warm_processes

from bayround.records import placing
from bayround.records.backup import back_up, is_good, list_backups, restore
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.read_season import read_season

KILLS = 10


def test_a_backup_that_was_cut_off_has_no_backups_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, folder = tmp_path / "Hill.bayround", tmp_path / "kept"
    farm_with_a_draft(path)
    context, chance = warm_processes(monkeypatch), random.Random(7)

    def start(says: Any) -> Any:
        child = context.Process(target=backing_up_child.keep_backing_up, args=(path, folder, says))
        child.start()
        return child

    acknowledged: set[Path] = set()
    for _kill in range(KILLS):
        acknowledged |= set(keyed_until_killed(start, chance, at_most=3))
    named = {backup.path for backup in list_backups(folder)}
    assert acknowledged <= named
    assert len(named - acknowledged) <= KILLS
    assert all(is_good(backup) for backup in named)
    others = {found.name for found in folder.iterdir()} - {found.name for found in named}
    assert all(name.startswith(placing.UNFINISHED) for name in others)
    with open_farm(path) as store:
        assert check(store) == ()


def test_a_restore_that_was_cut_off_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "Hill.bayround"
    _visit, plants = farm_with_a_draft(path)
    with open_farm(path) as store:
        backup = back_up(store, tmp_path / "kept", datetime.now(UTC))
    context, chance = warm_processes(monkeypatch), random.Random(11)

    def start(says: Any) -> Any:
        child = context.Process(target=backing_up_child.keep_restoring, args=(backup, path, says))
        child.start()
        return child

    for _kill in range(KILLS):
        before = {found.name for found in tmp_path.glob("Hill kept aside *.bayround")}
        told = [aside for aside in keyed_until_killed(start, chance, at_most=3) if aside]
        asides = set(tmp_path.glob("Hill kept aside *.bayround"))
        assert set(told) <= asides
        assert before <= {found.name for found in asides}
        if not path.exists():  # killed between moving the one and placing the other
            assert len(asides) > len(before)
            restore(backup, path)
        with open_farm(path) as store:
            assert len(read_season(store).marked_plants) == len(plants)
            assert check(store) == ()
    assert all(is_good(aside) for aside in tmp_path.glob("Hill kept aside *.bayround"))
