"""Pictures of every screen on the sample farm, to be looked at: ``python -m tests.pictures [FOLDER]``.

At 1280×720 and 1920×1080, light and dark, 100 and 150 %. The sizes are those of the window in the system's own
points: at 150 % a picture has half as many pixels again each way. The folder is named at the end.
"""

from __future__ import annotations

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


def main(words: list[str]) -> int:
    """Take the pictures at every scale, each in a program of its own: Qt reads the scale when it starts."""
    folder = Path(words[0]) if words else Path(tempfile.mkdtemp(prefix="bayround-pictures-"))
    folder.mkdir(parents=True, exist_ok=True)
    path = os.pathsep.join([str(ROOT / "desktop"), str(ROOT), os.environ.get("PYTHONPATH", "")])
    for scale in SCALES:
        around = os.environ | {
            "QT_QPA_PLATFORM": os.environ.get("QT_QPA_PLATFORM", "offscreen"),
            "QT_SCALE_FACTOR": str(scale / 100),
            "PYTHONPATH": path,
        }
        command = [sys.executable, "-m", "tests.pictures", "--at", str(scale), str(folder)]
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


if __name__ == "__main__":
    if len(sys.argv) > 3 and sys.argv[1] == "--at":
        os.environ.setdefault("QT_SCALE_FACTOR", str(int(sys.argv[2]) / 100))
        raise SystemExit(0 if take(int(sys.argv[2]), Path(sys.argv[3])) else 1)
    raise SystemExit(main(sys.argv[1:]))
