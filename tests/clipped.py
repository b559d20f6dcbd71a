"""Texts that do not stand whole on the screen: ``python -m tests.clipped [--scale 150] [--size 1280x720]``.

Walks every screen, tab, form and dialog on the whole sample farm. Without options: 1280×720 and 1920×1080 at 100 and
150 %. Sizes are in the system's points. Ends with 1 if a text is cut.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from bayround.actions.farm import OpenFarm

ROOT = Path(__file__).resolve().parents[1]
RUNS = ((100, "1280x720"), (100, "1920x1080"), (150, "1280x720"), (150, "1920x1080"))


def main(words: list[str]) -> int:
    """Run every scale in a program of its own: Qt reads the scale when it starts."""
    known = argparse.ArgumentParser(description=__doc__)
    known.add_argument("--scale", type=int)
    known.add_argument("--size")
    known.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    asked = known.parse_args(words)
    if asked.here:
        return walk(asked.scale, asked.size)
    runs = [
        (scale, size) for scale, size in RUNS if asked.scale in (None, scale) and asked.size in (None, size)
    ] or [(asked.scale or 100, asked.size or "1280x720")]
    path = os.pathsep.join([str(ROOT / "desktop"), str(ROOT), os.environ.get("PYTHONPATH", "")])
    worst = 0
    for scale, size in runs:
        around = os.environ | {"QT_QPA_PLATFORM": "offscreen", "QT_SCALE_FACTOR": str(scale / 100)}
        command = [sys.executable, "-m", "tests.clipped", "--here", "--scale", str(scale), "--size", size]
        done = subprocess.run(command, cwd=ROOT, env=around | {"PYTHONPATH": path}, check=False)
        worst = max(worst, abs(done.returncode))
    return min(worst, 1)


def walk(scale: int, size: str) -> int:
    """Walk at one scale and size; print what is cut; return 1 if anything is."""
    sys.path.insert(0, str(ROOT / "tests" / "window"))
    from bayround import places
    from bayround.actions import sample
    from bayround.window import theme
    from bayround.window.application import application

    app = application()
    with tempfile.TemporaryDirectory() as kept:
        places.use_data_dir(Path(kept))
        theme.apply(app, "light", large=False)
        farm = sample.write_sample(Path(kept) / "sample.bayround")
        width, height = map(int, size.split("x"))
        seen = list(states_measured(app, farm, width, height))
        farm.close()
    found: dict[str, list[str]] = {}
    for state, texts in seen:
        for text in texts:
            found.setdefault(text, []).append(state)
    for text, where in found.items():
        print(f"  {text!r} in {where[0]}" + (f" and {len(where) - 1} more" if len(where) > 1 else ""))
    print(f"{size} at {scale} %: {len(seen)} states, {len(found)} texts cut")
    return 1 if found else 0


def states_measured(
    app: QApplication, farm: OpenFarm, width: int, height: int
) -> Iterator[tuple[str, list[str]]]:
    """Yield each state of the window with the texts that are cut in it."""
    from window_hands import NOW, TODAY, Answers, settle
    from window_states import dialogs, states
    from window_whole import cut_texts

    from bayround.window.desk import Desk
    from bayround.window.main_window import MainWindow
    from bayround.window.tasks_qt import QtTasks

    wrong: list[BaseException] = []
    tasks = QtTasks(wrong.append)
    desk = Desk(farm, tasks, today=lambda: TODAY, now=lambda: NOW, questions=Answers())
    window = MainWindow(desk, tasks)
    window.backups.stop()
    window.resize(width, height)
    window.show()
    window.activateWindow()

    def settled() -> None:
        settle(app, tasks)

    for walked in (states(window, farm, settled), dialogs(window, settled)):
        for state in walked:
            yield state, cut_texts(app.activeModalWidget() or window)
    tasks.stop()
    if wrong:
        raise wrong[0]


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
