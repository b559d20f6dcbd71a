"""`python -m tests.faults --kills N --cuts N`: the whole fault table, printed.

Kills and power cuts over the program's own jobs, then the same cuts with every sync off, to show that the
cuts have teeth. Exit code 1 when anything was lost, or when the control lost too little.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parents[1] / "desktop")]


def main() -> int:
    """Run both parts and print what came of them."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--kills", type=int, default=2000, help="processes killed while they save")
    parser.add_argument("--cuts", type=int, default=100_000, help="power cuts over all jobs")
    parser.add_argument("--seed", type=int, default=20261125, help="the same seed makes the same faults")
    chosen = parser.parse_args()
    bad = _kills(chosen.kills, chosen.seed) if chosen.kills else 0
    bad += _cuts(chosen.cuts, chosen.seed) if chosen.cuts else 0
    return 1 if bad else 0


def _kills(count: int, seed: int) -> int:
    from kills import try_kills

    begun = time.perf_counter()
    found = try_kills(count, seed)
    print(f"kill -9 while saving cells: {count} kills, {found.acknowledged} saves acknowledged, "
          f"{found.hot} left a journal, {found.lost} lost, {found.half} half-saved, "
          f"{found.unsound} unsound; {time.perf_counter() - begun:.0f} s")  # fmt: skip
    return found.lost + found.half + found.unsound


def _cuts(count: int, seed: int) -> int:
    from jobs_at_risk import JOBS
    from power_cuts import CORRUPT, DIFFERENT, GOOD, HALF, LOST, record, try_cuts

    each = max(1, count // len(JOBS))
    columns = (GOOD, CORRUPT, LOST, HALF, DIFFERENT)
    print(f"{'power cuts':34}{'cuts':>8}" + "".join(f"{name:>18}" for name in columns) + f"{'seconds':>9}")
    wrong, share = 0, 0.0
    with TemporaryDirectory() as folder:
        for synchronous, number in (("EXTRA", each), ("OFF", max(1, each // 20))):
            total: Counter[str] = Counter()
            for job in JOBS:
                begun = time.perf_counter()
                found = try_cuts(
                    record(job, Path(folder) / f"{job} {synchronous}", synchronous), number, seed
                )
                took = time.perf_counter() - begun
                _line(f"{job}, sync {synchronous}", number, found, columns, took)
                total += found
            _line(f"all jobs, sync {synchronous}", number * len(JOBS), total, columns, 0.0)
            failed = sum(total[name] for name in (CORRUPT, LOST, HALF))
            if synchronous == "EXTRA":
                wrong = failed
            else:
                share = failed / (number * len(JOBS))
    print(f"failures: {wrong} with the program's settings; {share:.0%} with every sync off")
    return wrong + (share <= 0.5)


def _line(name: str, count: int, found: Counter[str], columns: tuple[str, ...], seconds: float) -> None:
    print(f"{name:34}{count:>8}" + "".join(f"{found[column]:>18}" for column in columns) + f"{seconds:>9.0f}",
          flush=True)  # fmt: skip


if __name__ == "__main__":
    raise SystemExit(main())
