"""The workbook of 200 bays beside bare openpyxl writing as many cells: time and memory, each in its own process.

Bare openpyxl appends the same values to as many sheets and saves them: no look, no table, no width. Memory is
the greatest resident size less what was resident before the first cell, so the week itself is not counted.
"""

from __future__ import annotations

import gc
import json
import pickle
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

HERE = Path(__file__).resolve().parent
LIMIT = 1.5


@dataclass(frozen=True)
class Cost:
    """Processor seconds and mebibytes, the median of several runs."""

    seconds: float
    mebibytes: float


@dataclass(frozen=True)
class Both:
    """What the workbook and bare openpyxl cost, for so many cells."""

    ours: Cost
    bare: Cost
    cells: int

    @property
    def time_ratio(self) -> float:
        return self.ours.seconds / self.bare.seconds

    @property
    def memory_ratio(self) -> float:
        return self.ours.mebibytes / self.bare.mebibytes


def measure(bays: int, runs: int = 3) -> Both:
    """Measure both, one after the other, *runs* times."""
    with TemporaryDirectory() as folder:
        prepared = Path(folder) / "week.pickle"
        _child("prepare", prepared, bays)
        cells = 0
        found: dict[str, list[Cost]] = {"ours": [], "bare": []}
        for _run in range(runs):
            for kind, costs in found.items():
                told = _child(kind, prepared, bays)
                costs.append(Cost(told["seconds"], told["mebibytes"]))
                cells = told["cells"]
        return Both(_middle(found["ours"]), _middle(found["bare"]), cells)


def report(both: Both, bays: int) -> str:
    """Return both costs and the ratios as text."""
    head = f"{f'workbook of {bays} bays':<24}{'time':>10}{'memory':>12}   {both.cells} cells"
    lines = [head]
    for name, cost in (("Bayround", both.ours), ("bare openpyxl", both.bare)):
        lines.append(f"  {name:<22}{f'{cost.seconds:.2f} s':>10}{f'{cost.mebibytes:.0f} MiB':>12}")
    lines.append(f"  {'ratio (at most 1.5)':<22}{both.time_ratio:>10.2f}{both.memory_ratio:>12.2f}")
    return "\n".join(lines)


def _middle(costs: list[Cost]) -> Cost:
    return Cost(median(cost.seconds for cost in costs), median(cost.mebibytes for cost in costs))


def _child(kind: str, prepared: Path, bays: int) -> dict[str, Any]:
    order = [sys.executable, str(HERE / "benchmark_workbook.py"), kind, str(prepared), str(bays)]
    done = subprocess.run(order, check=True, capture_output=True, text=True)
    found: dict[str, Any] = json.loads(done.stdout or "{}")
    return found


def _prepare(prepared: Path, bays: int) -> None:
    """Keep the week, and the values of its workbook's cells, for the processes that are measured."""
    import benchmarks
    from bayround.crops import load_crops
    from bayround.facts.weeks import Week
    from bayround.paper.workbook import book
    from bayround.week import build

    crops = load_crops()
    farm = benchmarks.many_bays(benchmarks.with_forecasts(crops), bays)
    week = build.build(farm, crops, Week.of(benchmarks.LAST_DAY), benchmarks.LAST_DAY)
    made = book.make(build.with_earlier(week, crops), crops)
    sheets = [
        (sheet.title, [list(row) for row in sheet.iter_rows(values_only=True)]) for sheet in made.worksheets
    ]
    (prepared.with_suffix(".values")).write_bytes(pickle.dumps(sheets))
    prepared.write_bytes(pickle.dumps(farm))


def _ours(prepared: Path) -> tuple[Callable[[], object], int]:
    import benchmarks
    from bayround.actions.workbook import write_week
    from bayround.crops import load_crops
    from bayround.facts.weeks import Week
    from bayround.week import build

    crops = load_crops()
    farm = pickle.loads(prepared.read_bytes())
    week = build.build(farm, crops, Week.of(benchmarks.LAST_DAY), benchmarks.LAST_DAY)
    week = build.with_earlier(week, crops)
    for seen in week.bays:
        len((week.earlier or {}).get(seen.bay.id, ()))  # reckoned when first asked for: not the writer's work
    target = prepared.with_name("ours.xlsx")
    return lambda: write_week(week, target, crops=crops), _cells(prepared)


def _bare(prepared: Path) -> tuple[Callable[[], object], int]:
    sheets = pickle.loads(prepared.with_suffix(".values").read_bytes())

    def write() -> None:
        import openpyxl

        book = openpyxl.Workbook()
        book.remove(book.worksheets[0])
        for title, rows in sheets:
            sheet = book.create_sheet(title)
            for row in rows:
                sheet.append(row)
        book.save(prepared.with_name("bare.xlsx"))

    return write, _cells(prepared)


def _cells(prepared: Path) -> int:
    sheets = pickle.loads(prepared.with_suffix(".values").read_bytes())
    return sum(value is not None for _title, rows in sheets for row in rows for value in row)


def _run(kind: str, prepared: Path) -> None:
    work, cells = {"ours": _ours, "bare": _bare}[kind](prepared)
    import openpyxl.chart
    import openpyxl.worksheet.table  # noqa: F401  # importing is not writing

    gc.collect()
    before = _resident(anew=True)
    began = time.process_time()
    work()
    seconds = time.process_time() - began
    print(json.dumps({"seconds": seconds, "mebibytes": _resident() - before, "cells": cells}))


def _resident(*, anew: bool = False) -> float:
    """Return the greatest resident size in MiB; *anew* counts from now on, where the system lets us (Linux)."""
    status = Path("/proc/self/status")
    if not status.exists():
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if anew:
        Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    (line,) = (line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
    return int(line.split()[1]) / 1024


if __name__ == "__main__":
    sys.path[:0] = [str(HERE), str(HERE.parent / "desktop")]
    if sys.argv[1] == "prepare":
        _prepare(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        _run(sys.argv[1], Path(sys.argv[2]))
