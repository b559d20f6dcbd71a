"""Pictures of every dialog above the window, in one look and scale; ``tests.pictures`` starts it for each."""

from __future__ import annotations

import sys
import tempfile
from functools import partial
from pathlib import Path

from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor, QPainter, QPixmap
from PySide6.QtWidgets import QDialog, QWidget

ROOT = Path(__file__).resolve().parents[1]
BEHIND = 96
"""How much of the window behind a dialog is greyed, of 255."""


def take(folder: Path, size: tuple[int, int], look: str, mark: str) -> int:
    """Take one picture of each dialog; return how many."""
    sys.path.insert(0, str(ROOT / "tests" / "window"))
    from window_dialogs import every_dialog
    from window_hands import NOW, TODAY, Answers, settle

    from bayround import places
    from bayround.actions import sample
    from bayround.window import theme
    from bayround.window.application import application
    from bayround.window.desk import Desk
    from bayround.window.main_window import MainWindow
    from bayround.window.tasks_qt import QtTasks

    app, count = application(), 0
    shown = "" if look == "light" else f"-{look}"
    with tempfile.TemporaryDirectory() as kept:
        places.use_data_dir(Path(kept))
        theme.apply(app, look, large=False)
        farm = sample.write_sample(Path(kept) / "sample.bayround")
        wrong: list[BaseException] = []
        tasks = QtTasks(wrong.append)
        desk = Desk(farm, tasks, today=lambda: TODAY, now=lambda: NOW, questions=Answers())
        window = MainWindow(desk, tasks)
        window.backups.stop()
        window.resize(*size)
        window.show()
        window.activateWindow()
        for name, dialog in every_dialog(window, farm, Path(kept), partial(settle, app, tasks)):
            safe = "".join(letter if letter.isalnum() else "_" for letter in name)
            file = folder / f"dialog_{safe}-{size[0]}x{size[1]}{shown}{mark}.png"
            above(window, dialog).save(str(file))
            count += 1
        window.hide()
        tasks.stop()
        farm.close()
        if wrong:
            raise wrong[0]
    return count


def above(window: QWidget, dialog: QDialog) -> QPixmap:
    """Return a dialog as it stands in the middle of the window, the window paler behind it."""
    whole = window.grab()
    inside = dialog.grab()
    painter = QPainter(whole)
    painter.fillRect(whole.rect(), QColor(128, 128, 128, BEHIND))
    spare = window.size() - dialog.size()
    painter.drawPixmap(QPoint(spare.width() // 2, spare.height() // 2), inside)
    painter.end()
    return whole
