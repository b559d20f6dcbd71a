"""Shared fixtures: nothing touches the person's own folders, no screen is needed, one time zone."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["TZ"] = "UTC"
time.tzset() if hasattr(time, "tzset") else None


@pytest.fixture(autouse=True)
def own_data_dir(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test a data folder of its own; the home folder is out of bounds."""
    folder = tmp_path_factory.mktemp("data")
    monkeypatch.setenv("BAYROUND_DATA_DIR", str(folder))
    return folder
