"""`python -m tests.faults --kills N --cuts N --faults N`: the whole fault table, printed.

Power cuts over the program's own jobs, then the same cuts with every sync off, to show that the cuts have
teeth; kills; then each job with its operations failing one by one (`--sweep`: only these; `--job`: of one job). Exit code 1
when anything was lost, or when the control lost too little.
"""

from __future__ import annotations

import argparse
import gc
import sys
import time
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

TEETH = 0.5  # with every sync off more than this share of the cuts has to do harm
MEMORY = Path("/dev/shm")  # no waiting for a disk where the system keeps files in memory
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parents[1] / "desktop")]


def main() -> int:
    """Run both parts and print what came of them."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--kills", type=int, default=2000, help="processes killed while they save")
    parser.add_argument("--cuts", type=int, default=100_000, help="power cuts over all jobs")
    parser.add_argument("--faults", type=int, default=10**9, help="operations made to fail, of each job")
    parser.add_argument("--sweep", action="store_true", help="only the failing operations, all of them")
    parser.add_argument("--seed", type=int, default=20261125, help="the same seed makes the same faults")
    parser.add_argument("--job", default="", help="of the sweep: one job only")
    chosen = parser.parse_args()
    if chosen.sweep:
        return 1 if _faults(chosen.faults, chosen.job) else 0
    bad = _cuts(chosen.cuts, chosen.seed) if chosen.cuts else 0
    bad += _kills(chosen.kills, chosen.seed) if chosen.kills else 0
    bad += _faults(chosen.faults) if chosen.faults else 0
    return 1 if bad else 0


def _faults(at_most: int, only: str = "") -> int:
    from io_faults import BAD, PASSED, SAVED_THOUGH, TOLD, AllTried, sweep_all
    from jobs_at_risk import JOBS

    columns = (TOLD, SAVED_THOUGH, PASSED, *BAD)
    wrong: list[str] = []
    total = alike = 0
    opened: AllTried = {}
    gc.freeze()  # what is loaded need not be gone through again at each run
    begun = time.process_time()
    print(f"{'faults of the disk':46}{'operations':>11}{'alike':>7}  " + "; ".join(columns))
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        for job in [job for job in JOBS if only in ("", job)]:
            for (kind, how), found in sweep_all(job, Path(folder) / job, at_most, opened).items():
                print(f"{f'{job}, {kind} {how}':46}{found.operations:>11}{found.alike:>7}  "
                      + "; ".join(str(found.found[column]) for column in columns), flush=True)  # fmt: skip
                wrong += found.wrong
                total, alike = total + found.operations, alike + found.alike
    print(f"failures: {len(wrong)} of {total} faults in {time.process_time() - begun:.0f} s of processor time ({alike}"
          " looked exactly like another one to the program and were not run again)", *wrong, sep="\n")  # fmt: skip
    return len(wrong)


def _kills(count: int, seed: int) -> int:
    from jobs_at_risk import JOBS
    from kills import try_kills

    each, wrong, total = -(-count // len(JOBS)), 0, 0
    print(f"{'kill -9':34}{'kills':>8}{'steps said done':>18}{'before the end':>18}{'journal left':>18}"
          f"{'a save lost':>18}{'half a step':>18}{'corrupt':>18}{'seconds':>9}")  # fmt: skip
    for job in JOBS:
        begun = time.perf_counter()
        found = try_kills(job, each, seed)
        told = (found.acknowledged, found.cut_short, found.journals, found.lost, found.half, found.unsound)
        print(f"{job:34}{found.kills:>8}" + "".join(f"{number:>18}" for number in told)
              + f"{time.perf_counter() - begun:>9.0f}", flush=True)  # fmt: skip
        wrong, total = wrong + found.wrong, total + found.kills
    print(f"failures: {wrong} of {total} kills\n")
    return wrong


def _cuts(count: int, seed: int) -> int:
    from jobs_at_risk import JOBS
    from power_cuts import CORRUPT, DIFFERENT, GOOD, HALF, LOST, record, try_cuts

    each = -(-count // len(JOBS))
    columns = (GOOD, CORRUPT, LOST, HALF, DIFFERENT)
    print(f"{'power cuts':34}{'cuts':>8}" + "".join(f"{name:>18}" for name in columns) + f"{'seconds':>9}")
    failed: dict[tuple[str, str], int] = {}
    counts = {"EXTRA": each, "OFF": max(1, each // 40)}
    with TemporaryDirectory() as folder:
        for synchronous, number in counts.items():
            total: Counter[str] = Counter()
            for job in JOBS:
                begun = time.perf_counter()
                recording = record(job, Path(folder) / f"{job} {synchronous}", synchronous)
                found = try_cuts(recording, number, seed)
                took = time.perf_counter() - begun
                _line(f"{job}, sync {synchronous}", number, found, columns, took)
                failed[synchronous, job] = sum(found[name] for name in (CORRUPT, LOST, HALF))
                total += found
            _line(f"all jobs, sync {synchronous}", number * len(JOBS), total, columns, 0.0)
    return _judge_cuts(failed, counts)


def _judge_cuts(failed: dict[tuple[str, str], int], counts: dict[str, int]) -> int:
    """Return how many cuts lost something, and one more for each job for which the control has no teeth."""
    from jobs_at_risk import JOBS, WRITING

    wrong = sum(failed["EXTRA", job] for job in JOBS)
    shares = {job: failed["OFF", job] / counts["OFF"] for job in WRITING}
    print(f"failures: {wrong} of {counts['EXTRA'] * len(JOBS)} with the program's settings; with every sync off"
          f" {sum(shares.values()) / len(shares):.0%} of the jobs that write the farm file ("
          + ", ".join(f"{job} {share:.0%}" for job, share in shares.items()) + ")\n", flush=True)  # fmt: skip
    return wrong + sum(share <= TEETH for share in shares.values())


def _line(name: str, count: int, found: Counter[str], columns: tuple[str, ...], seconds: float) -> None:
    print(f"{name:34}{count:>8}" + "".join(f"{found[column]:>18}" for column in columns) + f"{seconds:>9.0f}",
          flush=True)  # fmt: skip


if __name__ == "__main__":
    raise SystemExit(main())
