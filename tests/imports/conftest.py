"""A farm file made once; each test works on a copy. `bring` looks at a file and lets it in."""

from __future__ import annotations

import functools
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from imports_farm import Desk, make

from bayround.actions import farm as farm_actions
from bayround.actions.imports import coming_back
from bayround.actions.imports.preview import Options, Preview


@pytest.fixture(scope="session")
def farm_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("imports") / "farm.bayround"
    make(path)
    return path


@pytest.fixture(scope="session", autouse=True)
def crops_read_once() -> Iterator[None]:
    """Read the crop files once; they are frozen values."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(farm_actions, "load_crops", functools.cache(farm_actions.load_crops))
        yield


@pytest.fixture
def desk(farm_once: Path, tmp_path: Path) -> Iterator[Desk]:
    farm = farm_actions.open_farm(Path(shutil.copy(farm_once, tmp_path / "farm.bayround")))
    yield Desk(farm, tmp_path)
    farm.close()


@pytest.fixture
def look(desk: Desk) -> Callable[..., Preview]:
    def look_at(path: Path, **options: object) -> Preview:
        book = coming_back.open_file(path)
        return coming_back.look(desk.farm, book, Options(**options), desk.moment)  # type: ignore[arg-type]

    return look_at


@pytest.fixture
def bring(desk: Desk, look: Callable[..., Preview]) -> Callable[..., Preview]:
    def bring_in(path: Path, **options: object) -> Preview:
        preview = look(path, **options)
        coming_back.bring_in(desk.farm, preview, desk.moment)
        return preview

    return bring_in
