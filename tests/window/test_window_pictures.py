"""Pictures of the screens: every main screen, in the size asked for, with something on it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from window_hands import TODAY

from bayround.actions.farm import OpenFarm
from bayround.facts.problems import Problem
from bayround.window.navigation import PAGES
from bayround.window.pictures import take_pictures


def test_every_screen_is_pictured_in_its_size(farm: OpenFarm, tmp_path: Path, qapp: QApplication) -> None:
    revision = farm.info.revision
    made = take_pictures(farm, tmp_path, TODAY, ((1280, 720),))
    assert [path.name for path in made] == [f"{name}-1280x720.png" for name, _title in PAGES]
    for path in made:
        picture = QImage(str(path))
        assert (picture.width(), picture.height()) == (1280, 720)
        shades = {picture.pixel(x, y) for x in range(100, 1280, 9) for y in range(60, 700, 7)}
        assert len(shades) > 20, f"{path.name} is as good as empty"
    assert farm.info.revision == revision, "taking pictures changed the farm"


def test_a_folder_that_is_not_there_is_said_in_words(
    farm: OpenFarm, tmp_path: Path, qapp: QApplication
) -> None:
    with pytest.raises(Problem, match="can't be saved"):
        take_pictures(farm, tmp_path / "nowhere", TODAY)
