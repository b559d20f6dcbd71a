"""Backups in the window: what each holds, a restore looked at first; a damaged farm file at opening."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from window_hands import Answers, alt, press, settle

from bayround import places
from bayround.actions import backups
from bayround.actions import farm as farm_actions
from bayround.facts.farm import Person, Role
from bayround.facts.ids import new_id
from bayround.records import backup, read_season, write_setup
from bayround.records.check import check
from bayround.window import errors, theme
from bayround.window.main_window import MainWindow
from bayround.window.parts.damaged_dialog import RESTORE, SALVAGE, DamagedDialog
from bayround.window.session import Session
from bayround.window.welcome import WelcomeWindow

EARLIER = datetime.now(UTC) - timedelta(hours=3)
Wait = Callable[[], None]


@pytest.fixture
def shown_errors(monkeypatch: pytest.MonkeyPatch) -> list[BaseException]:
    shown: list[BaseException] = []
    monkeypatch.setattr(errors, "show", lambda error, parent=None: shown.append(error))
    return shown


@pytest.fixture
def session(qapp: QApplication, shown_errors: list[BaseException]) -> Iterator[Session]:
    theme.apply(qapp, "light", large=False)
    made = Session(Answers())
    yield made
    if made.window is not None:
        made.window.close()
    made.end()


@pytest.fixture
def wait(session: Session, qapp: QApplication) -> Wait:
    def until_quiet() -> None:
        settle(qapp, session.tasks)
        settle(qapp, session.tasks)

    return until_quiet


@pytest.fixture
def path(sample_file: Path, tmp_path: Path) -> Path:
    """A farm with a backup of three hours ago and a person added since."""
    path = tmp_path / "hill.bayround"
    shutil.copyfile(sample_file, path)
    with closing(farm_actions.open_farm(path)) as farm:
        backup.back_up(farm.store, places.backups_dir(path), EARLIER)
        write_setup.add(farm.store, Person(new_id(), "Newcomer", Role.SCOUT))
    return path


def people(path: Path) -> set[str]:
    with closing(farm_actions.open_farm(path, read_only=True)) as farm:
        return {person.name for person in read_season.read_season(farm.store).people}


def test_a_backup_is_looked_at_and_restored_from_the_menu(session: Session, wait: Wait, path: Path) -> None:
    session.start(path)
    wait()
    window = cast(MainWindow, session.window)
    window.backups.stop()
    window.actions_made["restore"].trigger()
    wait()
    dialog = window.restoring.dialog
    assert dialog is not None
    rows = [
        [dialog.table.item(row, column).text() for column in range(7)] for row in range(len(dialog.found))
    ]
    assert len(rows) == 2  # the one of opening, and the earlier one
    assert rows[1][2:4] == rows[0][2:4]
    assert int(rows[1][1]) == int(rows[0][1]) - 1
    assert dialog.preview.text() == "Nothing: the farm file holds the same."
    dialog.table.setFocus()
    press(Qt.Key.Key_Down)
    wait()
    assert dialog.preview.text() == "People: 1 would be missing"
    before = sorted(places.backups_dir(path).iterdir())
    alt(Qt.Key.Key_R)
    wait()
    again = cast(MainWindow, session.window)
    assert again is not window
    assert again.desk.farm.path == path
    assert "Newcomer" not in people(path)
    assert "Newcomer" in people(path.with_name("hill kept aside 1.bayround"))
    assert set(before) <= set(places.backups_dir(path).iterdir()), "a restore pushed a backup out"


def test_an_unsound_backup_can_be_seen_but_not_restored(session: Session, wait: Wait, path: Path) -> None:
    (kept,) = places.backups_dir(path).iterdir()
    kept.write_bytes(kept.read_bytes()[:9000])
    session.start(path)
    wait()
    window = cast(MainWindow, session.window)
    window.backups.stop()
    window.actions_made["restore"].trigger()
    wait()
    dialog = window.restoring.dialog
    assert dialog is not None
    dialog.table.setCurrentCell(1, 0)
    wait()
    assert "is not sound" in dialog.preview.text()
    assert not dialog.restore.isEnabled()
    dialog.reject()


@pytest.mark.parametrize("way", [RESTORE, SALVAGE, ""])
def test_a_damaged_farm_offers_the_newest_good_backup(
    session: Session, wait: Wait, path: Path, way: str, shown_errors: list[BaseException]
) -> None:
    with path.open("rb+") as stream:
        stream.seek(4096 * 30)
        stream.write(b"\xff" * 4096)
    damaged = path.read_bytes()
    session.start(path)
    wait()
    assert isinstance(session.window, WelcomeWindow)
    dialog = session.rescue.dialog
    assert isinstance(dialog, DamagedDialog)
    assert "damaged" in dialog.accessibleName()
    assert "newest good backup is of" in dialog.accessibleDescription()
    assert "People: 1 would be missing" in dialog.accessibleDescription()
    dialog.buttons[way].click()
    wait()
    assert shown_errors == []
    if not way:
        assert isinstance(session.window, WelcomeWindow)
        assert path.read_bytes() == damaged
        return
    farm = cast(MainWindow, session.window).desk.farm
    assert farm.path == (path if way == RESTORE else path.with_name("hill salvaged.bayround"))
    assert check(farm.store) == ()
    aside = path.with_name("hill kept aside 1.bayround") if way == RESTORE else path
    assert aside.read_bytes() == damaged
    assert ("Newcomer" in people(farm.path)) == (way == SALVAGE)


def test_a_farm_that_is_gone_comes_back_from_its_backup(session: Session, wait: Wait, path: Path) -> None:
    path.unlink()
    session.start(path)
    wait()
    dialog = session.rescue.dialog
    assert isinstance(dialog, DamagedDialog)
    assert SALVAGE not in dialog.buttons
    dialog.buttons[RESTORE].click()
    wait()
    assert cast(MainWindow, session.window).desk.farm.path == path
    assert "Newcomer" not in people(path)


def test_of_a_file_that_was_cut_off_the_offer_says_what_would_be_missing(path: Path) -> None:
    """SQLite reads nothing of it any more; page by page the person who was added since is still there."""
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) * 3 // 4])
    found = backups.offer(path)
    assert found is not None
    assert found.backup is not None
    assert "As far as it can still be read: People: 1 would be missing" in found.lines[0]
    assert len(path.read_bytes()) == len(whole) * 3 // 4
