"""`bayround done FILE BAY KIND`: tick a job off; one that is stopped is refused without an explanation."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from contextlib import closing
from typing import TYPE_CHECKING

from bayround.cli import arguments, inside, pick
from bayround.cli.guard import DONE
from bayround.facts.problems import Refused, Stopped
from bayround.facts.work import JobKind
from bayround.words import _

if TYPE_CHECKING:
    from bayround.actions.jobs import Job


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "done",
        _("tick a job off, with the hours it took"),
        _(
            "Tick a job of today's list off (see “bayround jobs”). A job inside a re-entry or pre-harvest\n"
            "interval, or in a house with a fault that keeps people out, is refused; the product label and local\n"
            "rules decide. If it was done all the same, --although keeps why."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument("bay", metavar="BAY", help=_("the bay, like “South net house · S1” or “S1”"))
    parser.add_argument(
        "kind",
        metavar="KIND",
        type=str.lower,  # as “bayround jobs” prints it, or small
        choices=[kind.value for kind in JobKind],
        help=_("the kind of job: %(choices)s"),
    )
    parser.add_argument("--target", default="", help=_("pest or disease, where a bay has several such jobs"))
    parser.add_argument(
        "--hours", metavar="H", type=arguments.amount, help=_("hours it took, all people together")
    )
    parser.add_argument("--by", metavar="NAME", help=_("who ticks it off"))
    arguments.add_why_all_the_same(parser)
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Tick the job off."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import jobs, setup
    from bayround.actions import week as week_actions

    today, instant = pick.now()
    with closing(farm_actions.open_farm(chosen.file)) as farm:
        known = setup.read(farm)
        bay = setup.bay_named(known, chosen.bay, today)
        by = setup.person_named(known, chosen.by).id if chosen.by else None
        snapshot = week_actions.work(farm, None, today)
        job = _wanted([job for job in snapshot.jobs if job.bay_id == bay.id], chosen)
        moment = jobs.Moment(today, instant, by)
        try:
            jobs.done(farm, job, moment, chosen.hours, chosen.although)
        except Stopped as stopped:
            raise inside.with_option(stopped) from stopped
        inside.tell(farm)
    print(_("Kept: {kind}, {bay}, done.").format(kind=job.kind_text, bay=job.bay_name))
    return DONE


def _wanted(listed: Sequence[Job], chosen: argparse.Namespace) -> Job:
    """Return the one job meant.

    Raises:
        Refused: when none is due, or several are and no target was said.
    """
    target = chosen.target.casefold()
    alike = [
        job
        for job in listed
        if job.kind.value == chosen.kind
        and (not target or target in f"{job.target} {job.kind_text}".casefold())
    ]
    still = [job for job in listed if job.state.value not in {"done", "skipped"}]
    found = [job for job in alike if job in still]
    if len(found) == 1:
        return found[0]
    if alike and not found:
        raise Refused(_("This job is done or skipped already."), _("Nothing was written down."),
                      _("The next visit confirms it. If more was done, start it again under Jobs."))  # fmt: skip
    kinds = ", ".join(f"{job.kind.value} {job.target}".strip() for job in found or still)
    if found:
        raise Refused(_("Several such jobs are due here."), _("Nothing was written down."),
                      _("Say which with --target: {jobs}.").format(jobs=kinds))  # fmt: skip
    raise Refused(_("No such job is due in this bay."), _("Nothing was written down."),
                  _("Due here, with its --target: {jobs}.").format(jobs=kinds) if chosen.target and kinds
                  else _("Due here: {jobs}.").format(jobs=kinds or _("nothing")))  # fmt: skip
