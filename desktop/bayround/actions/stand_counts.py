"""How many plants stand, counted or confirmed at a visit at which plants were found dead, and put right afterwards."""

from __future__ import annotations

from dataclasses import replace

from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts import standing
from bayround.facts.farm import Planting
from bayround.facts.ids import new_id
from bayround.facts.kept import StandCount
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.rounds import Visit
from bayround.records import read_parts, read_visit, write_setup
from bayround.words import _


def confirm(farm: OpenFarm, visit_id: str, plants: int, moment: Moment, note: str = "") -> StandCount:
    """Keep how many plants stood on the day of a visit; figures take that number from then on.

    A later number for the same day takes the place of the earlier one, which stays in the farm.

    Raises:
        Refused: when it is none, or more than were planted.
        KeyError: when there is no such visit.
    """
    visit, planting = _of_visit(farm, visit_id)
    _refuse_impossible(planting, plants)
    count = StandCount(new_id(), planting.id, visit.visited_on, plants, moment.person_id, note)
    write_setup.add(farm.store, count)
    return count


def put_right(
    farm: OpenFarm, visit_id: str, before: int, plants: int, moment: Moment, reason: str
) -> StandCount:
    """Put the number counted on the day of a visit right, its earlier one kept in the history; not counted: keep it.

    Args:
        before: the number the person saw.

    Raises:
        Refused: as `confirm`, or without a reason. Overtaken: when it is no longer what the person saw.
        KeyError: when there is no such visit.
    """
    if not reason.strip():
        raise Refused(_("A correction needs a reason."), _("Nothing was changed."))
    visit, planting = _of_visit(farm, visit_id)
    _refuse_impossible(planting, plants)
    counts = [
        one
        for one in read_parts.read_bay(farm.store, visit.bay_id).stand_counts
        if one.planting_id == planting.id and one.counted_on == visit.visited_on
    ]
    if not counts:
        return confirm(farm, visit_id, plants, moment, reason.strip())
    kept = standing.up_to(counts, visit.visited_on)[-1]
    if kept.plants not in (before, plants):
        raise Overtaken(
            _("The number was changed since you opened it: {n} plants.").format(n=kept.plants),
            _("Your number was not saved."),
            _("Look at the new one and decide again."),
        )
    right = replace(kept, plants=plants)
    write_setup.change(farm.store, right, moment.person_id, moment.now, reason.strip())
    return right


def _of_visit(farm: OpenFarm, visit_id: str) -> tuple[Visit, Planting]:
    visit = read_visit.read_visit(farm.store, visit_id).visit
    known = read_parts.read_setup(farm.store)
    return visit, next(one for one in known.plantings if one.id == visit.planting_id)


def _refuse_impossible(planting: Planting, plants: int) -> None:
    if not 1 <= plants <= planting.plants:
        raise Refused(
            _("{n} plants can't stand here: {planted} were planted.").format(
                n=plants, planted=planting.plants
            ),
            _("Nothing was kept."),
            _("Type how many stand now; if more were planted, put that right on the Farm screen."),
        )
