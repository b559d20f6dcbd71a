"""Pictures of every screen on the sample farm, to be looked at: `python -m tests.pictures [FOLDER]`.

At 1280×720 and 1920×1080, light and dark, 100 and 150 %, and every dialog at 1280×720. The sizes are those of the
window in the system's own points: at 150 % a picture has half as many pixels again each way. The folder is named at
the end.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SIZES = ((1280, 720), (1920, 1080))
LOOKS = ("light", "dark")
SCALES = (100, 150)
ALSO = ("house", "climate")


def main(folder: Path | None = None) -> int:
    """Take the pictures at every scale, each in a program of its own: Qt reads the scale when it starts."""
    folder = folder or Path(tempfile.mkdtemp(prefix="bayround-pictures-"))
    folder.mkdir(parents=True, exist_ok=True)
    path = os.pathsep.join([str(ROOT / "desktop"), str(ROOT), os.environ.get("PYTHONPATH", "")])
    for scale in SCALES:
        around = os.environ | {
            "QT_QPA_PLATFORM": os.environ.get("QT_QPA_PLATFORM", "offscreen"),
            "QT_SCALE_FACTOR": str(scale / 100),
            "PYTHONPATH": path,
        }
        for more in ([], *([look] for look in LOOKS)):
            command = [
                sys.executable,
                "-m",
                "tests.pictures",
                "--at",
                str(scale),
                str(folder.resolve()),
                *more,
            ]
            if subprocess.run(command, cwd=ROOT, env=around, check=False).returncode:
                return 1
    count = len(list(folder.glob("*.png")))
    print(f"{count} pictures in {folder}")
    return 0


def take(scale: int, folder: Path) -> int:
    """Take the pictures at the scale this program was started with; return how many."""
    from bayround import places
    from bayround.actions import sample
    from bayround.actions import week as week_actions
    from bayround.window.pictures import take_pictures

    with tempfile.TemporaryDirectory() as kept:
        places.use_data_dir(Path(kept))
        farm = sample.write_sample(Path(kept) / "sample.bayround")
        try:
            newest = week_actions.newest_week(farm)
            today = newest.sunday
            mark = "" if scale == 100 else f"-{scale}"
            return len(take_pictures(farm, folder, today, SIZES, LOOKS, ALSO, mark))
        finally:
            farm.close()


def take_dialogs(scale: int, folder: Path, look: str) -> int:
    """Take the pictures of the dialogs in one look, at the scale this program was started with."""
    from tests import dialog_pictures

    return dialog_pictures.take(folder, SIZES[0], look, "" if scale == 100 else f"-{scale}")


def at_one_scale(scale: int, folder: Path, look: str) -> int:
    """Take the screens, or with a look the dialogs, in the program that was started for this scale."""
    os.environ.setdefault("QT_SCALE_FACTOR", str(scale / 100))
    count = take_dialogs(scale, folder, look) if look else take(scale, folder)
    return 0 if count else 1


if __name__ == "__main__":
    parser = argparse.ArgumentParser(prog="python -m tests.pictures", description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path, metavar="FOLDER", help="otherwise a new one")
    parser.add_argument("look", nargs="?", default="", help=argparse.SUPPRESS)
    parser.add_argument("--at", type=int, help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.at:
        raise SystemExit(at_one_scale(chosen.at, chosen.folder, chosen.look))
    raise SystemExit(main(chosen.folder))
