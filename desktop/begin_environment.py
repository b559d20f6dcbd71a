"""The environment (`.venv`) with Bayround and what it needs in it. Standard library only."""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import sys
from pathlib import Path

import begin_system
from begin_system import Trouble, say

STAMP = "bayround-installed.json"
"""File in the environment that says what was installed there."""


def ready(folder: Path, checkout: Path, *, test: bool) -> Path:
    """Make the environment and install Bayround in it, where that is not done yet.

    Returns:
        The environment's Python.

    Raises:
        Trouble: when it can't be made, or something can't be fetched.
    """
    wanted = _wanted(checkout)
    if _is_ready(folder, wanted, test=test):
        return python_of(folder)
    if not _works(folder):
        _make(folder)
    _install(folder, checkout, test=test)
    (folder / STAMP).write_text(json.dumps({"wanted": wanted, "test": test}), encoding="utf-8")
    return python_of(folder)


def python_of(folder: Path) -> Path:
    """Return where an environment keeps its Python."""
    return folder / "Scripts" / "python.exe" if os.name == "nt" else folder / "bin" / "python"


def _wanted(checkout: Path) -> str:
    """Return a digest of what has to be installed: changes whenever pyproject.toml or the folder does."""
    digest = hashlib.sha256((checkout / "pyproject.toml").read_bytes())
    digest.update(str(checkout).encode())
    return digest.hexdigest()


def _is_ready(folder: Path, wanted: str, *, test: bool) -> bool:
    try:
        kept = json.loads((folder / STAMP).read_text(encoding="utf-8"))
        installed = kept["wanted"] == wanted and (kept["test"] or not test)
    except (OSError, ValueError, KeyError, TypeError):
        return False
    return installed and _has(folder, ("bayround", "PySide6", "sqlalchemy"))


def _works(folder: Path) -> bool:
    return (folder / "pyvenv.cfg").is_file() and _has(folder, ("pip",))


def _has(folder: Path, modules: tuple[str, ...]) -> bool:
    """Return whether the environment's Python runs and finds these modules (a newer system Python breaks it)."""
    look = f"import sys, importlib.util as u; sys.exit(not all(u.find_spec(name) for name in {modules!r}))"
    code, _answer = begin_system.ask((str(python_of(folder)), "-I", "-c", look))
    return code == 0


def _make(folder: Path) -> None:
    if folder.exists() and not (folder / "pyvenv.cfg").is_file() and _holds_something(folder):
        raise Trouble(
            f"{folder} is not an environment of Python and not empty.",
            "It was left as it is.",
            "Choose another folder with --venv.",
        )
    _venv_module_ready()
    say(f"Making an environment in {folder} ...")
    if begin_system.run((sys.executable, "-m", "venv", "--clear", str(folder))):
        raise Trouble(
            f"The environment in {folder} can't be made (the reason stands above).",
            to_do="Choose a folder you may write to with --venv.",
        )


def _holds_something(folder: Path) -> bool:
    return not folder.is_dir() or any(folder.iterdir())


def _venv_module_ready() -> None:
    """Debian and Ubuntu leave out a part of Python that makes environments."""
    if _can_make_environments():
        return
    package = f"python3.{sys.version_info.minor}-venv"
    installed = begin_system.install((package,), "This Python can't make environments; adding that part")
    importlib.invalidate_caches()
    if not (installed and _can_make_environments()):
        raise Trouble(
            "This Python can't make environments: a part of it is missing.",
            "Nothing was changed.",
            f"Run: {begin_system.line_for((package,))}",
        )


def _can_make_environments() -> bool:
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


def _install(folder: Path, checkout: Path, *, test: bool) -> None:
    say("Installing Bayround and what it needs (once; fetches 200 to 300 MB) ...")
    shown = () if sys.stdout.isatty() else ("--quiet",)
    what = f"{checkout}[test]" if test else str(checkout)
    command = (str(python_of(folder)), "-m", "pip", "install", *shown, "--disable-pip-version-check")
    if begin_system.run((*command, "--no-input", "--retries", "2", "--editable", what)):
        raise Trouble(
            "Not everything could be installed (pip's own words stand above).",
            "What was fetched stays; nothing outside the environment was changed.",
            "Most often there is no way to the internet: connect and run the same line again. Behind a"
            " proxy set HTTPS_PROXY first. pip fetches from pypi.org.",
        )
