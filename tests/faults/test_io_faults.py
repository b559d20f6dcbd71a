"""A short run of the faults of the disk; the long one, every operation of every job, is `python -m tests.faults`."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from io_faults import FOR_GOOD, ONCE, SAVED_THOUGH, TOLD, sweep
from jobs_at_risk import JOBS, NAME, pattern, prepare

from bayround import places
from bayround.facts.problems import FarmFileProblem
from bayround.records.backup import back_up, is_good
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.read_visit import read_visit
from bayround.records.write_visit import save_cell

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
HOW = {"cell autosave": 6, "finish": 4, "merge": 1}


@pytest.mark.parametrize(("kind", "how"), [("full disk", FOR_GOOD), ("disk fault", ONCE)])
@pytest.mark.parametrize("job", JOBS)
def test_a_failing_operation_is_told_and_loses_nothing(job: str, kind: str, how: str, tmp_path: Path) -> None:
    found = sweep(job, tmp_path / "faults", kind, how, HOW.get(job, 3))
    assert found.wrong == []
    assert found.found[TOLD] + found.found[SAVED_THOUGH] == found.operations


@pytest.mark.parametrize("how", ["removed", "replaced"])
def test_a_farm_file_that_goes_away_while_it_is_open(how: str, tmp_path: Path) -> None:
    _path, drafts, plants, _readings = pattern()
    prepare(tmp_path, "cell autosave")
    path, away = tmp_path / NAME, tmp_path / "away.bayround"
    with open_farm(path) as store:
        save_cell(store, drafts[0], plants[0], "height_cm", 101.0)
        os.rename(path, away)
        if how == "replaced":
            shutil.copyfile(pattern()[0], path)
        for _again in range(2):
            with pytest.raises(FarmFileProblem, match="moved or deleted") as told:
                save_cell(store, drafts[0], plants[1], "height_cm", 102.0)
        assert "Back up now" in told.value.to_do
        kept = back_up(store, places.backups_dir(path), NOW)  # what is open still has everything
        assert is_good(kept)
        os.replace(away, path)
        save_cell(store, drafts[0], plants[1], "height_cm", 102.0)
        assert check(store) == ()
    for file, values in ((path, [101.0, 102.0]), (kept, [101.0])):
        with open_farm(file, read_only=True) as again:
            found = [reading.height_cm for reading in read_visit(again, drafts[0]).readings]
            assert sorted(value for value in found if value is not None) == values
