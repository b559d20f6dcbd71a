"""The crop files of this checkout, and copies of them that a test may spoil."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from bayround.crops import Crops, load_crops

RESOURCES = Path(__file__).resolve().parents[2] / "resources"

Spoil = Callable[[str, str, str], Path]


@pytest.fixture(scope="session")
def crops() -> Crops:
    return load_crops(RESOURCES)


@pytest.fixture
def spoil(tmp_path: Path) -> Spoil:
    """Copies the resources and replaces one text in one file; gives the folder of the copy."""

    def replace_text(file: str, old: str, new: str) -> Path:
        for folder in ("crops", "."):
            (tmp_path / folder).mkdir(exist_ok=True)
            for path in (RESOURCES / folder).glob("*.toml"):
                shutil.copy(path, tmp_path / folder / path.name)
        path = tmp_path / file
        text = path.read_text(encoding="utf-8")
        assert old in text, f"the test's own text is not in {file}: {old!r}"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        return tmp_path

    return replace_text
