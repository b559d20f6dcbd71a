"""The wheel holds everything: installed elsewhere, away from the checkout, the program works on its own files."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from house_files import GENERATED

import bayround

BUNDLED = ("resources", "sample_farm")
"""Folders of the checkout that go into the package."""

IMPORT_ALL = """
import importlib, pkgutil, bayround
names = [found.name for found in pkgutil.walk_packages(bayround.__path__, "bayround.")]
elsewhere = ("bayround.__main__", "bayround.sample_farm", "bayround.records.upgrades.env")
names = [name for name in names if not name.startswith(elsewhere)]
for name in names:
    importlib.import_module(name)
print(len(names), bayround.__file__)
"""


@pytest.fixture(scope="module")
def installed(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder into which the wheel was installed, without the parts it depends on."""
    built = tmp_path_factory.mktemp("built")
    folder = tmp_path_factory.mktemp("installed")
    build = [
        sys.executable,
        "-m",
        "build",
        "--wheel",
        "--no-isolation",
        "--outdir",
        str(built),
        str(checkout),
    ]
    run(build, folder)
    (wheel,) = built.glob("*.whl")
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--no-compile"]
    run([*install, "--disable-pip-version-check", "--target", str(folder), str(wheel)], folder)
    return folder


def run(command: list[str], folder: Path, **settings: str) -> str:
    """Run a command from *folder* and return what it printed."""
    kept = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    ended = subprocess.run(
        command, cwd=folder, env={**kept, **settings}, capture_output=True, text=True, timeout=240
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout


def contents(folder: Path) -> dict[str, bytes]:
    """Return the files of a folder by name, without what Python leaves behind."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not GENERATED & set(path.parts)
    }


def differences(there: dict[str, bytes], here: dict[str, bytes]) -> list[str]:
    """Return the names of files that are missing, surplus or not the same."""
    return sorted(name for name in there.keys() | here.keys() if there.get(name) != here.get(name))


def test_the_installed_program_runs_from_another_folder(installed, tmp_path):
    printed = run([sys.executable, "-m", "bayround", "--version"], tmp_path, PYTHONPATH=str(installed))
    assert printed == f"bayround {bayround.__version__}\n"


@pytest.mark.parametrize("name", BUNDLED)
def test_its_files_are_those_of_the_checkout(installed, checkout, name):
    there = contents(installed / "bayround" / name)
    assert len(there) > 3
    assert differences(there, contents(checkout / name)) == []


def test_its_code_is_that_of_the_checkout(installed, checkout):
    bundled = tuple(f"{name}/" for name in BUNDLED)
    there = {
        file: text for file, text in contents(installed / "bayround").items() if not file.startswith(bundled)
    }
    assert differences(there, contents(checkout / "desktop" / "bayround")) == []


def test_every_module_of_it_loads(installed, tmp_path):
    count, place = run([sys.executable, "-c", IMPORT_ALL], tmp_path, PYTHONPATH=str(installed)).split()
    assert int(count) > 50
    assert Path(place).is_relative_to(installed)


def test_it_makes_the_sample_farm_from_its_own_files(installed, tmp_path):
    settings = {"PYTHONPATH": str(installed), "BAYROUND_DATA_DIR": str(tmp_path / "data")}
    command = [sys.executable, "-m", "bayround"]
    run([*command, "sample", "--to", "sample.bayround"], tmp_path, **settings)
    assert "is sound" in run([*command, "check", "sample.bayround"], tmp_path, **settings)
