"""A short run of the power cuts; the long one is `python -m tests.faults`.

What must hold is SQLite's promise for its safest settings (sqlite.org, "Atomic Commit In SQLite", and
PRAGMA synchronous): a step that was said to be done is there, any other is there whole or not at all.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from jobs_at_risk import JOBS
from power_cuts import CORRUPT, DIFFERENT, GOOD, HALF, LOST, record, try_cuts

CUTS = 120


@pytest.mark.parametrize("job", JOBS)
def test_no_cut_loses_or_halves_a_step(job: str, tmp_path: Path) -> None:
    recording = record(job, tmp_path / "farm")
    found = try_cuts(recording, CUTS, seed=7)
    assert found[GOOD] == CUTS, found
    assert found[DIFFERENT] > 2 or job in {"backup", "restore"}


def test_the_cuts_have_teeth(tmp_path: Path) -> None:
    found: Counter[str] = Counter()
    for job in ("cell autosave", "correction", "closing a week", "finish"):
        found += try_cuts(record(job, tmp_path / job, "OFF"), 50, seed=7)
    assert found[CORRUPT] + found[LOST] + found[HALF] > 100
