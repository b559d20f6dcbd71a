"""The invented season, made once for all tests here."""

from __future__ import annotations

import pytest
from sample_season import Season

from bayround.actions import sample


@pytest.fixture(scope="session")
def season() -> Season:
    return Season(sample.season_facts())
