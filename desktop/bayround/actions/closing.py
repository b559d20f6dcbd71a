"""Close a week: its workbook goes out, and the farm file keeps what it held.

First `prepared`, then the workbook is written from what it returns, then `keep`: a workbook that was not written
closes nothing.
"""

from __future__ import annotations

from dataclasses import replace

from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.chain import NO_CORRECTIONS
from bayround.facts.ids import new_id
from bayround.facts.problems import Problem, Refused
from bayround.facts.work import WeekClose
from bayround.records import write_work
from bayround.week import digest
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _


def prepared(snapshot: WeekSnapshot, moment: Moment) -> WeekSnapshot:
    """Return the week as it will be once it is closed; the same when it is closed already and nothing changed.

    Raises:
        Refused: when no visit of the week is finished.
    """
    if all(seen.visit is None for seen in snapshot.bays):
        raise Refused(
            _("No visit of {week} is finished, so there is nothing to close.").format(week=snapshot.week),
            _("The week stays open."),
            _("Finish the visits first."),
        )
    own, held = snapshot.close, digest.of_week(snapshot)
    if own is not None and own.digest == held and not snapshot.corrected_since:
        return snapshot
    close = WeekClose(
        new_id(),
        str(snapshot.week),
        moment.now,
        snapshot.revision,
        held,
        moment.person_id,
        snapshot.as_of,
        snapshot.chain_head or NO_CORRECTIONS,
    )
    return replace(snapshot, closes=(*snapshot.closes, close), corrected_since=())


def keep(farm: OpenFarm, written: WeekSnapshot) -> bool:
    """Keep the closing of a week whose workbook is written, in one transaction; tell whether it is new.

    Raises:
        Problem: when it can't be kept; the workbook then says that the week is closed and the file does not.
    """
    close = written.close
    if close is None or close.revision != written.revision:
        return False
    try:
        return write_work.close_week(farm.store, close)
    except Problem as problem:
        raise Problem(
            _("The workbook is written, but the closing of {week} was not kept: {why}").format(
                week=close.week, why=problem.message
            ),
            _("The week is still open in the farm file."),
            _("Put that right and hand the week over again."),
        ) from problem
