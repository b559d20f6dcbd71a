"""A short run of the faults of the disk; the long one, every operation of every job, is `python -m tests.faults`."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from farm_at_risk import NAME, pattern
from io_faults import FOR_GOOD, ONCE, SAVED_THOUGH, TOLD, heard, sweep_all
from jobs_at_risk import JOBS, prepare

from bayround import places
from bayround.facts.problems import FarmFileProblem
from bayround.records.backup import back_up, is_good
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.read_visit import read_visit
from bayround.records.write_visit import save_cell

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
WAYS = (("full disk", FOR_GOOD), ("disk fault", ONCE), ("unreadable", ONCE))


@pytest.mark.parametrize("job", JOBS)
def test_a_failing_operation_is_told_and_loses_nothing(job: str, tmp_path: Path) -> None:
    found = sweep_all(job, tmp_path / "faults", 2, ways=WAYS)
    assert [line for one in found.values() for line in one.wrong] == []
    told = sum(one.found[TOLD] + one.found[SAVED_THOUGH] for one in found.values())
    assert told >= 3


def test_what_looks_alike_is_told_by_the_codes_that_the_program_hears() -> None:
    """Inside SQLite a full disk differs where it writes only; the system tells each kind by its own number."""
    inside, outside = [("sync", True), ("write", True)], [("sync", False)]
    assert heard(inside, "disk fault") == heard(inside, "not allowed") != heard(inside, "full disk")
    assert heard(inside[:1], "disk fault") == heard(inside[:1], "full disk")
    assert len({heard(outside, kind) for kind in ("disk fault", "full disk", "not allowed")}) == 3


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
