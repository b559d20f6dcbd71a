"""Every path of the program, in one place. `use_data_dir` (``--data-dir``) moves them all."""

from __future__ import annotations

import os
import sys
from pathlib import Path

_chosen_data_dir: Path | None = None


def resources_dir() -> Path:
    """Return the folder with crop profiles, icons and translations.

    Looks beside the package (installed wheel) and then in the checkout.

    Raises:
        FileNotFoundError: when neither holds the resources.
    """
    return _bundled("resources")


def sample_farm_dir() -> Path:
    """Return the folder with the invented sample farm's scenario and generator."""
    return _bundled("sample_farm")


def _bundled(name: str) -> Path:
    package = Path(__file__).resolve().parent
    checkout = package.parent.parent
    candidates = [checkout / name, package / name, Path(getattr(sys, "_MEIPASS", package)) / name]
    if not (checkout / "pyproject.toml").is_file():
        candidates = candidates[1:]
    for candidate in candidates:
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(f"The program's folder '{name}' is missing; please install Bayround again.")


def use_data_dir(folder: Path | None) -> None:
    """Put settings, logs and backups under *folder* instead of the person's own data folder."""
    global _chosen_data_dir
    _chosen_data_dir = folder


def data_dir() -> Path:
    """Return the folder for settings, logs and the default backups, made if need be (mode 0700)."""
    chosen = _chosen_data_dir or (
        Path(os.environ["BAYROUND_DATA_DIR"]) if "BAYROUND_DATA_DIR" in os.environ else None
    )
    if chosen is None:
        import platformdirs

        chosen = Path(platformdirs.user_data_dir("bayround", appauthor=False))
    chosen.mkdir(mode=0o700, parents=True, exist_ok=True)
    return chosen


def log_file() -> Path:
    """Return the rotating log file."""
    folder = data_dir() / "logs"
    folder.mkdir(mode=0o700, exist_ok=True)
    return folder / "bayround.log"


def fault_file() -> Path:
    """Return the file into which a crash of the interpreter itself is written."""
    return log_file().with_name("fault.log")


def settings_file() -> Path:
    """Return the file that keeps the person's choices on this computer."""
    return data_dir() / "settings.toml"


def backups_dir(farm_file: Path) -> Path:
    """Return the folder with the backups of *farm_file*: beside it, named after it."""
    return farm_file.with_name(farm_file.stem + " backups")


def server_farm_dir(name: str) -> Path:
    """Return the folder for workbooks and backups of a farm on a server, made if need be."""
    folder = data_dir() / "server farms" / name
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder
