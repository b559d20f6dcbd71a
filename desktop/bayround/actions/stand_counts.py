"""How many plants stand, counted or confirmed at a visit at which plants were found dead."""

from __future__ import annotations

from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.ids import new_id
from bayround.facts.kept import StandCount
from bayround.facts.problems import Refused
from bayround.records import read_parts, read_visit, write_setup
from bayround.words import _


def confirm(farm: OpenFarm, visit_id: str, plants: int, moment: Moment) -> StandCount:
    """Keep how many plants stood on the day of a visit; figures take that number from then on.

    A later number for the same day takes the place of the earlier one, which stays in the farm.

    Raises:
        Refused: when it is none, or more than were planted.
        KeyError: when there is no such visit.
    """
    visit = read_visit.read_visit(farm.store, visit_id).visit
    known = read_parts.read_setup(farm.store)
    planting = next(one for one in known.plantings if one.id == visit.planting_id)
    if not 1 <= plants <= planting.plants:
        raise Refused(
            _("{n} plants can't stand here: {planted} were planted.").format(
                n=plants, planted=planting.plants
            ),
            _("Nothing was kept."),
            _("Type how many stand now; if more were planted, put that right on the Farm screen."),
        )
    count = StandCount(new_id(), planting.id, visit.visited_on, plants, moment.person_id)
    write_setup.add(farm.store, count)
    return count
