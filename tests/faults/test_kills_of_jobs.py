"""A short run of the kills over all jobs; the long one is `python -m tests.faults`."""

from __future__ import annotations

import pytest
from jobs_at_risk import JOBS
from kills import try_kills


@pytest.mark.parametrize("job", JOBS)
def test_no_kill_loses_or_halves_a_step(job: str) -> None:
    found = try_kills(job, 2, seed=7)
    assert found.kills == 2
    assert found.wrong == 0
