"""The day of a round: never to come, put right while nothing was seen on it, and what other rounds of its week saw."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bayround import words
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.problems import Refused
from bayround.facts.rounds import Round, Visit, VisitState
from bayround.facts.weeks import Week
from bayround.records import read_parts, write_setup
from bayround.words import _


def refuse_future(held_on: date, today: date | None) -> None:
    """Refuse a day that is still to come; without *today* nothing is compared.

    Raises:
        Refused: when it is.
    """
    if today is not None and held_on > today:
        raise Refused(
            _("{day} is still to come.").format(day=words.weekday_day(held_on)),
            to_do=_("Begin a round on the day it is walked."),
        )


def change_round(farm: OpenFarm, round_id: str, held_on: date, scout_id: str, moment: Moment) -> Round:
    """Put day and scout of a round right; the earlier ones stay in the history.

    Raises:
        Refused: when a bay was visited in it already, or the day is still to come.
    """
    refuse_future(held_on, moment.today)
    found = next((item for item in read_parts.read_rounds(farm.store) if item.id == round_id), None)
    if found is None:
        raise Refused(_("This round is not in the farm file."))
    if read_parts.read_round_visits(farm.store, round_id):
        raise Refused(
            _("A bay was keyed in on this round already, so its day stands."),
            _("Nothing was changed."),
            _("Begin another round on the right day for the bays that are left."),
        )
    changed = replace(found, held_on=held_on, scout_id=scout_id)
    write_setup.change(farm.store, changed, moment.person_id, moment.now)
    return changed


def done_elsewhere(farm: OpenFarm, walked: Round) -> dict[str, Visit]:
    """Return, by bay, the newest finished visit of the same ISO week in another round."""
    week = Week.of(walked.held_on)
    others = [
        item
        for item in read_parts.read_rounds(farm.store)
        if item.id != walked.id and Week.of(item.held_on) == week
    ]
    found: dict[str, Visit] = {}
    for other in sorted(others, key=lambda item: (item.held_on, item.id)):
        for visit in read_parts.read_round_visits(farm.store, other.id):
            if visit.state is VisitState.DONE:
                found[visit.bay_id] = visit
    return found
