"""On which days a visit may be."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Connection, select

from bayround import words
from bayround.facts.farm import Planting
from bayround.facts.moments import local_day
from bayround.facts.problems import Refused
from bayround.facts.rounds import Visit
from bayround.records import tables as t
from bayround.records.codec import facts_of, kind_of, select_facts
from bayround.words import _

MOST_DAYS_OFF_ROUND = 7
"""A round is weekly: a visit further off its day belongs to another round."""


def refuse_unless_it_stands(connection: Connection, visit: Visit) -> None:
    """Refuse a visit to a bay in which its planting does not stand on its day.

    Raises:
        Refused: with words that say what to look at.
    """
    kind = kind_of(Planting)
    of_visit = select_facts(kind).where(t.planting.c.id == visit.planting_id)
    planting = facts_of(kind, connection.execute(of_visit))[0]
    if planting.bay_id != visit.bay_id or not planting.stands_on(visit.visited_on):
        raise Refused(
            _("This crop does not stand in this bay on that day."),
            _("Nothing was changed."),
            _("Check the date of the visit and the planting in the set-up of the farm."),
        )


def refuse_strange_day(connection: Connection, visit: Visit, at: datetime) -> None:
    """Refuse a day on which a visit can't have been: no crop, not its round's week, or after *at*.

    Raises:
        Refused: with words that say why.
    """
    refuse_unless_it_stands(connection, visit)
    if visit.visited_on > local_day(at):
        raise Refused(
            _("{day} is still to come.").format(day=words.day(visit.visited_on)), _("Nothing was changed.")
        )
    held_on = connection.execute(
        select(t.round_.c.held_on).where(t.round_.c.id == visit.round_id)
    ).scalar_one()
    if abs((visit.visited_on - held_on).days) > MOST_DAYS_OFF_ROUND:
        raise Refused(
            _("The round was on {held}; a visit more than {n} days off is not of this round.").format(
                held=words.day(held_on), n=MOST_DAYS_OFF_ROUND
            ),
            _("Nothing was changed."),
            _("Look at the day again; a visit of another week belongs to that week's round."),
        )
