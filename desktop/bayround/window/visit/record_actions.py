"""Which action keeps, and which takes out, a check, a card or a weed note."""

from __future__ import annotations

from bayround.actions import rounds
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.rounds import CardCount, PestCheck, WeedNote
from bayround.facts.typed import Typed
from bayround.window.visit.record_row import Record


def save(farm: OpenFarm, record: Record, typed: Typed) -> None:
    """Keep a record of a draft, new or changed, over the one that was seen."""
    if isinstance(record, PestCheck):
        rounds.save_check(farm, record, typed)
    elif isinstance(record, CardCount):
        rounds.save_card(farm, record, typed)
    elif isinstance(record, WeedNote):
        rounds.save_weed(farm, record, typed)


def remove(farm: OpenFarm, record: Record, moment: Moment) -> None:
    """Take a record out of a draft; what it said stays in the history."""
    if isinstance(record, PestCheck):
        rounds.remove_check(farm, record.id, moment.person_id, moment.now)
    elif isinstance(record, CardCount):
        rounds.remove_card(farm, record.id, moment.person_id, moment.now)
    elif isinstance(record, WeedNote):
        rounds.remove_weed(farm, record.id, moment.person_id, moment.now)
