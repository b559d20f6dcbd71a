"""`python -m tests.agreement --farms 200`: window = workbook as LibreOffice shows it = command line, printed.

Every week of the sample farm and of so many generated farms. Exit code 1 when anything differs.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parents[1] / "desktop")]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


def main() -> int:
    """Compare and print what came of it."""
    from itertools import chain

    import many_weeks
    from PySide6.QtWidgets import QApplication

    parser = argparse.ArgumentParser(prog="python -m tests.agreement", description=__doc__)
    parser.add_argument("--farms", type=int, default=200, help="how many generated farms")
    parser.add_argument("--seed", type=int, default=1, help="seed of the first of them")
    parser.add_argument("--sample-weeks", type=int, default=0, help="last weeks of the sample farm (0: all)")
    chosen = parser.parse_args()
    _application = QApplication.instance() or QApplication([])
    begun = time.perf_counter()
    with TemporaryDirectory() as folder:
        weeks = chain(
            many_weeks.sample_weeks(chosen.sample_weeks),
            many_weeks.generated_weeks(chosen.farms, chosen.seed),
        )
        tally = many_weeks.compare_all(weeks, Path(folder))
    print(f"{tally.weeks} weeks ({chosen.farms} generated farms and the sample farm), "
          f"{time.perf_counter() - begun:.0f} s")  # fmt: skip
    print(f"{tally.texts} texts compared on all faces, {tally.sums} sums recalculated by LibreOffice, "
          f"{tally.cells} cells reopened, {tally.dates} of them dates")  # fmt: skip
    print(f"differences: {len(tally.wrong)}")
    for line in tally.wrong[:40]:
        print(f"  {line}")
    return 1 if tally.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
