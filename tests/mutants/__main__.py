"""`python -m tests.mutants --files 10000`: broken and lying files, used in every way a person could use them.

Files are tried in processes of their own, so that a crash or a hang is seen and counted, and the run goes on.
Exit code 1 when a file brought a fault of the program, a hang over 10 seconds, or a change to the live farm that
nobody asked for.
"""

from __future__ import annotations

import argparse
import functools
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Timer

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parents[1] / "desktop")]

BATCH = 500
HANG_S = 10.0
MEMORY = Path("/dev/shm")  # no waiting for a disk where the system keeps files in memory


def main() -> int:
    """Try the files and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--files", type=int, default=10_000, help="how many mutants")
    parser.add_argument("--seed", type=int, default=20261125, help="the same seed makes the same mutants")
    parser.add_argument("--first", type=int, default=0, help="number of the first mutant")
    parser.add_argument("--kind", default="", help="one kind of file only")
    parser.add_argument("--child", metavar="FOLDER", default="", help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.child:
        return _child(chosen)
    from trying import KINDS

    bad = 0
    kinds = [kind for kind in KINDS if chosen.kind in ("", kind.name)]
    for kind in kinds:
        bad += _try_kind(kind.name, chosen.first, chosen.files // len(kinds), chosen.seed)
    return 1 if bad else 0


def _try_kind(name: str, first: int, count: int, seed: int) -> int:
    begun, came, told = time.monotonic(), Counter[tuple[str, str]](), []
    number = first
    while number < first + count:
        upto = min(number + BATCH, first + count)
        number = _batch(name, number, upto, seed, came, told)
    took = time.monotonic() - begun
    print(f"{name}: {count} mutants in {took:.0f} s")
    for way in sorted({way for way, _outcome in came}):
        parts = ", ".join(f"{n} {outcome}" for (of, outcome), n in sorted(came.items()) if of == way)
        print(f"  {way}: {parts}")
    bad = sum(n for (_way, outcome), n in came.items() if outcome not in ("taken", "refused in words"))
    print(f"  wrong: {bad}")
    alike = Counter(text.partition("\t")[0] for text in told)
    first = {text.partition("\t")[0]: text.partition("\t")[2] for text in reversed(told)}
    for text, times in alike.most_common(20):
        print(f"    {times} × {text}   (first: mutant {first[text]})")
    return bad


def _short(outcome: str) -> str:
    """Return what was raised and where in the program, on one line."""
    lines = [line.strip() for line in outcome.splitlines() if line.strip()]
    places = [line for line in lines if line.startswith("File") and "/bayround/" in line]
    where = places[-1].partition("/bayround/")[2].replace('"', "") if places else ""
    raised = next((line for line in reversed(lines) if "Error" in line or "Found" in line), lines[-1])
    return f"{lines[0]}: {raised[:160]} in {where}"


def _batch(
    name: str, number: int, upto: int, seed: int, came: Counter[tuple[str, str]], told: list[str]
) -> int:
    """Run a batch in a process of its own; return the number to go on with."""
    with TemporaryDirectory(prefix="mutants", dir=MEMORY if MEMORY.is_dir() else None) as folder:
        command = [sys.executable, str(HERE / "__main__.py"), "--child", folder, "--kind", name,
                   "--first", str(number), "--files", str(upto - number), "--seed", str(seed)]  # fmt: skip
        running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert running.stdout is not None
        watch = _watch(running)
        for line in running.stdout:
            watch.cancel()
            watch = _watch(running)
            number, way, outcome = _read(line)
            if number < 0:
                continue
            first_word = outcome.partition("\n")[0]
            came[way, first_word] += 1
            if first_word not in ("taken", "refused in words"):
                told.append(f"{_short(outcome)}\t{number} {way}")
        watch.cancel()
        code = running.wait()
    if code:
        word = "hang" if code == -9 else f"crash ({code})"
        came["(process)", word] += 1
        told.append(f"{word}\t{number + 1}")
        return number + 2
    return upto


def _watch(running: subprocess.Popen[str]) -> Timer:
    watch = Timer(HANG_S + 20.0 * (running.poll() is None and not hasattr(running, "seen")), running.kill)
    running.seen = True  # type: ignore[attr-defined]  # the first answer waits for the imports
    watch.start()
    return watch


def _read(line: str) -> tuple[int, str, str]:
    number, way, outcome = line.rstrip("\n").split("\t", 2)
    return int(number), way, outcome.encode().decode("unicode_escape")


def _child(chosen: argparse.Namespace) -> int:
    from trying import KINDS, make_bench, try_one

    from bayround import places
    from bayround.actions import farm as farm_actions

    folder = Path(chosen.child)
    places.use_data_dir(folder / "data")
    farm_actions.load_crops = functools.cache(farm_actions.load_crops)  # the program's own files never change
    (kind,) = (one for one in KINDS if one.name == chosen.kind)
    bench = make_bench(folder / "bench")
    print("-1\tready\t", flush=True)
    for number in range(chosen.first, chosen.first + chosen.files):
        way, outcome = try_one(bench, kind, number, chosen.seed)
        print(f"{number}\t{way}\t{outcome.encode('unicode_escape').decode()}", flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
