"""What a fresh interpreter loads: pure packages stay light, commands wait with the heavy parts."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("PySide6", "pyqtgraph", "sqlalchemy", "sqlite3", "alembic", "openpyxl", "scipy", "numpy")
LOAD = """
import importlib, json, pkgutil, sys
package = importlib.import_module(sys.argv[1])
for found in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
    importlib.import_module(found.name)
print(json.dumps([name for name in sys.argv[2:] if name in sys.modules]))
"""


def loaded_with(checkout: Path, package: str, names: tuple[str, ...] = HEAVY) -> list[str]:
    """Return which of *names* are loaded once a package and all that is in it are."""
    ended = subprocess.run(
        [sys.executable, "-c", LOAD, package, *names],
        env={**os.environ, "PYTHONPATH": str(checkout / "desktop")},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert ended.returncode == 0, ended.stderr
    found: list[str] = json.loads(ended.stdout)
    return found


@pytest.mark.parametrize("package", ["facts", "agronomy", "figures", "jobs", "week", "crops"])
def test_a_pure_package_loads_nothing_heavy(checkout, package):
    assert loaded_with(checkout, f"bayround.{package}") == []


def test_the_command_line_loads_nothing_heavy(checkout):
    assert loaded_with(checkout, "bayround.cli") == []


def test_actions_wait_with_what_is_slow_to_load(checkout):
    assert loaded_with(checkout, "bayround.actions") == ["sqlalchemy", "sqlite3"]


def test_a_heavy_import_would_be_seen(checkout):
    assert loaded_with(checkout, "sqlite3", ("sqlite3", "openpyxl")) == ["sqlite3"]
