"""Commands run in this process, as a person would type them, on the sample farm."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from bayround import logs, places, start, words


@dataclass(frozen=True)
class Ended:
    """How a command ended."""

    code: int
    out: str
    err: str


Run = Callable[..., Ended]


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample farm, made once by the command itself; copy it before changing it."""
    file = tmp_path_factory.mktemp("sample") / "sample.bayround"
    try:
        assert start.main(["--data-dir", str(file.parent / "data"), "sample", "--to", str(file)]) == 0
    finally:
        places.use_data_dir(None)
    return file


@pytest.fixture
def farm_file(sample_file: Path, tmp_path: Path) -> Path:
    """A copy of the sample farm of one's own."""
    return Path(shutil.copy(sample_file, tmp_path / "farm.bayround"))


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Iterator[Run]:
    """Run `bayround` with these words and return how it ended."""

    def run_it(*typed: object) -> Ended:
        capsys.readouterr()
        code = start.main([str(word) for word in typed])
        printed = capsys.readouterr()
        return Ended(code, printed.out, printed.err)

    yield run_it
    places.use_data_dir(None)
    logs.stop_logging()
    words.use()
