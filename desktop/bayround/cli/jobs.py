"""`bayround jobs FILE`: what is due, why, by when; for people or, with --json, for other programs."""

from __future__ import annotations

import argparse
import json
from contextlib import closing
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from bayround import words
from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _

if TYPE_CHECKING:
    from bayround.actions.jobs import Job
    from bayround.figures.figure import Figure
    from bayround.week.snapshot import WeekSnapshot

Json = str | int | float | None


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "jobs",
        _("list the jobs due, with reasons"),
        _(
            "List the jobs due today, or in one week, in working order: priority, due day, bay, job, hours,\n"
            "state, and why. What stops a job today (re-entry and pre-harvest intervals, faults of houses)\n"
            "stands with it; the product label, local rules and licensed people come first. The farm file is\n"
            "only read."
        ),
    )
    arguments.add_farm_file(parser)
    arguments.add_week(parser, _("this week, as of today"))
    parser.add_argument(
        "--json", action="store_true", help=_("print a JSON list of objects with the numbers behind each job")
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the jobs."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import week as week_actions

    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        snapshot = week_actions.work(farm, chosen.week, date.today())
    print(as_json(snapshot) if chosen.json else as_text(snapshot))
    return DONE


def as_text(snapshot: WeekSnapshot) -> str:
    """Return the jobs as lines of text: one line of facts, then why, then what stops it."""
    head = f"{snapshot.farm.name} · {snapshot.week} · " + _("as of {day}").format(
        day=words.day(snapshot.as_of)
    )
    looked_on = max((seen.as_of for seen in snapshot.bays), default=snapshot.as_of)
    if looked_on != snapshot.as_of:
        head += " · " + _("what stops a job as of {day}").format(day=words.day(looked_on))
    head = "\n".join((head, *snapshot.warnings))
    if not snapshot.jobs:
        return f"{head}\n" + _("No job is due.")
    rows = [line_of(job) for job in snapshot.jobs]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    lines = [head, f"{_count(snapshot)}", ""]
    for job, row in zip(snapshot.jobs, rows, strict=True):
        lines.append("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
        lines.append(f"    {job.reason}")
        if job.blocked_by:
            lines.append("    " + _("Stopped: {why}").format(why=job.blocked_text))
    return "\n".join(lines)


def line_of(job: Job) -> tuple[str, ...]:
    """Return what stands on a job's first line."""
    state = f"{job.state_text}: {job.assigned_to}" if job.assigned_to else job.state_text
    hours = job.hours.text_with_unit
    return (job.priority_text, job.due_text, job.bay_name, job.kind_text, hours, state)


def _count(snapshot: WeekSnapshot) -> str:
    totals = snapshot.totals
    due = sum(job.is_due for job in snapshot.jobs)
    parts = [words.counted("{n} job due", "{n} jobs due", due), totals["hours_due"].text_with_unit]
    if done := totals["jobs_to_confirm"].value:
        parts.append(words.counted("{n} done, to be confirmed", "{n} done, to be confirmed", int(done)))
    return ", ".join(parts)


def as_json(snapshot: WeekSnapshot) -> str:
    """Return the jobs as a JSON list, in working order; numbers as every face shows them."""
    return json.dumps([_object(job, snapshot) for job in snapshot.jobs], indent=2)


def _object(job: Job, snapshot: WeekSnapshot) -> dict[str, object]:
    seen = snapshot.bay(job.bay_id)
    return {
        "bay": seen.bay.name,
        "house": seen.house.name,
        "kind": job.kind.value,
        "target": job.target,
        "reason": job.reason,
        "due_on": job.due_on.isoformat(),
        "priority": job.priority,
        "hours": job.hours.cell,
        "state": job.state.value,
        "assigned_to": job.assigned_to,
        "blocked_by": list(job.blocked_by),
        "plants": list(job.plants),
        "numbers": [_number(figure) for figure in job.numbers],
    }


def _number(figure: Figure) -> dict[str, Json]:
    return {
        "id": figure.id,
        "label": figure.label,
        "value": figure.cell,
        "unit": figure.unit,
        "low": _shown(figure, figure.low),
        "high": _shown(figure, figure.high),
        "n": figure.n,
    }


def _shown(figure: Figure, limit: float | None) -> float | int | None:
    """Return one end of the interval as the figure shows it; the figure does the rounding."""
    return None if limit is None else replace(figure, value=limit).cell
