"""Pictures of the screens, taken without anyone at the desk."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import QApplication

from bayround.actions import rounds, setup
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import Problem
from bayround.facts.rounds import VisitState
from bayround.facts.season import walk_order
from bayround.window import theme
from bayround.window.application import application
from bayround.window.desk import Desk
from bayround.window.main_window import MainWindow
from bayround.window.navigation import PAGES
from bayround.window.tasks_qt import QtTasks
from bayround.words import _

SIZES = ((1280, 720),)


def take_pictures(
    farm: OpenFarm,
    folder: Path,
    today: date,
    sizes: Sequence[tuple[int, int]] = SIZES,
    looks: Sequence[str] = ("light",),
    also: Sequence[str] = (),
    mark: str = "",
) -> list[Path]:
    """Show each main screen as it stands on *today* in each size and look; return the PNG files.

    *also* names screens that are not on the rail; *mark* ends every file's name. The farm stays open;
    nothing is written to it.

    Raises:
        Problem: when there is no font to write with, or a picture can't be saved.
    """
    app = application()
    if not QFontDatabase.families():
        raise Problem(
            _("There is no font on this computer."), to_do=_("Install one, such as fonts-dejavu-core.")
        )
    made: list[Path] = []
    for look in looks:
        theme.apply(app, look, large=False)
        for size in sizes:
            made += _of_size(app, farm, folder, today, size, look, also, mark)
    theme.apply_chosen(app)
    return made


def _of_size(
    app: QApplication,
    farm: OpenFarm,
    folder: Path,
    today: date,
    size: tuple[int, int],
    look: str,
    also: Sequence[str] = (),
    mark: str = "",
) -> list[Path]:
    tasks = QtTasks(_raise)
    noon = datetime.combine(today, time(12), UTC)
    desk = Desk(farm, tasks, today=lambda: today, now=lambda: noon)
    window = MainWindow(desk, tasks)
    window.backups.stop()
    window.resize(*size)
    window.show()
    made = []
    keys = {"farm": _first_bay(farm), "visit": _bay_keyed_in(farm)}
    for name in (*(name for name, _title in PAGES), *also):
        window.go(name, keys.get(name, ""))
        settle(app, tasks)
        marks = f"{size[0]}x{size[1]}" + ("" if look == "light" else f"-{look}") + mark
        made.append(save(window, folder / f"{name}-{marks}.png"))
    window.hide()
    tasks.stop()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete.value)
    return made


def _first_bay(farm: OpenFarm) -> str:
    known = setup.read(farm)
    bays = walk_order(known.houses, known.bays)
    return bays[0].id if bays else ""


def _bay_keyed_in(farm: OpenFarm) -> str:
    """Return a bay of the newest round whose visit is finished: showing it writes nothing."""
    for walked in rounds.rounds(farm)[:1]:
        for stop in rounds.walk(farm, walked.id):
            if stop.state is VisitState.DONE:
                return stop.bay.id
    return ""


def settle(app: QApplication, tasks: QtTasks) -> None:
    """Let everything that was asked for arrive and be drawn."""
    for _again in range(4):
        app.processEvents()
        tasks.drain()
    app.processEvents()


def save(window: MainWindow, path: Path) -> Path:
    """Save what a window shows.

    Raises:
        Problem: when the file can't be written.
    """
    if not window.grab().save(str(path)):
        raise Problem(_("The picture {path} can't be saved.").format(path=path))
    return path


def _raise(error: BaseException) -> None:
    raise error
