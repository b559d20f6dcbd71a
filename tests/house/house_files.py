"""Where the house stands, and which files people wrote in it."""

from __future__ import annotations

from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
GENERATED = {"__pycache__", "build", "dist", "pictures", ".venv", ".git"}
TEXT_SUFFIXES = {".py", ".md", ".toml", ".qss", ".svg", ".po", ".pot", ".json", ".csv", ".txt", ".cfg", ""}


def files_under(folder: Path, *suffixes: str) -> list[Path]:
    """Return the files of a folder with these suffixes, without what was generated."""
    return sorted(
        path
        for path in folder.rglob("*")
        if path.is_file()
        and path.suffix in suffixes
        and not GENERATED & set(path.parts)
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    )


def python_files() -> list[Path]:
    """Return every Python file of the house."""
    return [
        file for name in ("desktop", "sample_farm", "tests") for file in files_under(CHECKOUT / name, ".py")
    ]


def text_files() -> list[Path]:
    """Return every file of the house that people write by hand."""
    found = python_files()
    for name in ("resources", "sample_farm", "tests"):
        found += files_under(CHECKOUT / name, *(TEXT_SUFFIXES - {".py"}))
    alone = ("README.md", "DEVELOPERS.md", "pyproject.toml", ".gitignore", ".ci/run")
    return found + [CHECKOUT / name for name in alone if (CHECKOUT / name).is_file()]


def name_of(file: Path) -> str:
    """Return a file's name within the checkout, the same on every system."""
    return file.relative_to(CHECKOUT).as_posix()
