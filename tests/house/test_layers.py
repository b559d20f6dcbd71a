"""Who may import whom: held by import-linter, and every contract is broken once on purpose to see it fail."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest

LINT = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True, no_logo=True))"
LAYERS = "Layers: top to bottom, never up, never beside"
THROUGH_ACTIONS = "Screens and commands reach records and paper only through actions"
STORAGE = "Storage does not reckon"
DOWNSTREAM = "Nobody downstream of week reckons"
QT = "Qt only in window"
SQL = "SQL only in records"
OPENPYXL = "openpyxl only in paper"
PURE = "The pure packages stay pure"


@dataclass(frozen=True)
class Breach:
    """A line that must not stand in a package, and the contract that catches it."""

    name: str
    package: str
    line: str
    contract: str


BREACHES = (
    Breach("SQL in week", "week", "import sqlite3", SQL),
    Breach("SQLAlchemy in a screen", "window", "import sqlalchemy", SQL),
    Breach("a screen that reads the file itself", "window", "from bayround import records", THROUGH_ACTIONS),
    Breach("a command that writes the workbook itself", "cli", "from bayround import paper", THROUGH_ACTIONS),
    Breach("a formula that knows facts", "agronomy", "from bayround import facts", LAYERS),
    Breach("a rule that knows the week", "jobs", "from bayround import week", LAYERS),
    Breach("paper that reads the file", "paper", "from bayround import records", LAYERS),
    Breach("Qt in actions", "actions", "from PySide6 import QtCore", QT),
    Breach("storage that reckons", "records", "from bayround import figures", STORAGE),
    Breach("a sheet that reckons", "paper", "from bayround import agronomy", DOWNSTREAM),
    Breach("a workbook made by storage", "records", "import openpyxl", OPENPYXL),
    Breach("a workbook made by a figure", "figures", "import openpyxl", PURE),
    Breach(
        "an import upwards for types only",
        "facts",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from bayround import records",
        LAYERS,
    ),
    Breach(
        "an import beside, inside a function",
        "cli",
        "def late() -> None:\n    from bayround import window\n    print(window)",
        LAYERS,
    ),
    Breach("a new folder that nobody placed", "attic", '"""Things."""', LAYERS),
)


def lint(tree: Path) -> subprocess.CompletedProcess[str]:
    """Run import-linter on a copy of the house, in a process that has imported nothing of it."""
    return subprocess.run(
        [sys.executable, "-c", LINT],
        cwd=tree,
        env={**os.environ, "PYTHONPATH": str(tree / "desktop"), "COLUMNS": "200"},
        capture_output=True,
        text=True,
        timeout=120,
    )


@pytest.fixture
def tree(checkout: Path, tmp_path: Path) -> Path:
    """A copy of the house that may be spoilt."""
    copy = tmp_path / "house"
    without = shutil.ignore_patterns("__pycache__", ".*")
    shutil.copytree(checkout / "desktop" / "bayround", copy / "desktop" / "bayround", ignore=without)
    shutil.copy(checkout / "pyproject.toml", copy)
    return copy


def test_the_house_keeps_every_contract(tree):
    ended = lint(tree)
    assert ended.returncode == 0, ended.stdout + ended.stderr
    assert "0 broken" in ended.stdout


@pytest.mark.parametrize("breach", BREACHES, ids=lambda breach: breach.name)
def test_a_breach_is_caught(breach, tree):
    package = tree / "desktop" / "bayround" / breach.package
    package.mkdir(exist_ok=True)
    with (package / "__init__.py").open("a", encoding="utf-8") as file:
        file.write(f"\n\n{breach.line}\n")
    ended = lint(tree)
    assert ended.returncode == 1, ended.stdout + ended.stderr
    assert f"{breach.contract} BROKEN" in ended.stdout


def test_every_contract_is_broken_once(checkout):
    settings = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = {contract["name"] for contract in settings["tool"]["importlinter"]["contracts"]}
    assert contracts == {breach.contract for breach in BREACHES}
