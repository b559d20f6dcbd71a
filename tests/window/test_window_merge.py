"""Another laptop's file comes in from the menu: looked at, merged, and what differs decided by a person."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtWidgets import QApplication
from window_hands import Answers, settle

from bayround import places
from bayround.actions.farm import OpenFarm
from bayround.records import corrections
from bayround.records.conflicts import open_conflicts
from bayround.records.farm_file import open_farm
from bayround.records.read_season import read_season
from bayround.window.main_window import MainWindow
from bayround.window.parts.conflict_dialog import ConflictDialog
from bayround.window.parts.merge_dialog import MergeDialog

AT = datetime(2026, 11, 25, 9, tzinfo=UTC)


def test_merge_from_the_menu(
    farm: OpenFarm, make_window: Callable[..., MainWindow], qapp: QApplication, tmp_path: Path,
    faults: list[BaseException],
) -> None:  # fmt: skip
    other = tmp_path / "other laptop.bayround"
    shutil.copyfile(farm.path, other)
    reading = read_season(farm.store).readings[0].id
    corrections.correct(farm.store, "reading", reading, "height_cm", 77.0, None, AT, "tape slipped")
    with open_farm(other) as store:
        corrections.correct(store, "reading", reading, "height_cm", 88.0, None, AT, "read again")
    window = make_window(farm, Answers(path=other))
    window.actions_made["merge"].trigger()
    settle(qapp, window._tasks)
    look = window.merging.dialog
    assert isinstance(look, MergeDialog)
    assert open_conflicts(farm.store) == ()  # a look changes nothing
    look.merge.click()
    settle(qapp, window._tasks)
    assert len(list(places.backups_dir(farm.path).glob("*.bayround"))) >= 1
    decide = window.merging.dialog
    assert isinstance(decide, ConflictDialog)
    assert not decide.hold.isEnabled()  # not without a reason
    assert [decide.value.itemData(place) for place in range(decide.value.count())] == ["77.0", "88.0"]
    decide.value.setCurrentIndex(1)
    decide.reason.setText("asked the scout")
    decide.hold.click()
    settle(qapp, window._tasks)
    assert open_conflicts(farm.store) == ()
    assert {one.id: one for one in read_season(farm.store).readings}[reading].height_cm == 88.0
    assert faults == []
