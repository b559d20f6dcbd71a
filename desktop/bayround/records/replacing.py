"""A marked plant that died gets a follower, in one transaction."""

from __future__ import annotations

from sqlalchemy import insert, select

from bayround.facts.farm import MarkedPlant
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.rounds import PlantState
from bayround.records import tables as t
from bayround.records.codec import facts_of, kind_of, row_of, select_facts
from bayround.records.store import Store
from bayround.records.write_visit import planting_of_draft, write_reading
from bayround.words import _


def replace_plant(store: Store, visit_id: str, marked_plant_id: str) -> MarkedPlant:
    """Keep that a marked plant is dead and that another one is marked in its place, and return that one.

    It stands in the same row, at the next place where none is marked, and takes the next number.

    Raises:
        Refused: when the visit is finished, or the plant was replaced before.
    """
    with store.writing() as connection:
        planting_id = planting_of_draft(connection, visit_id)
        kind = kind_of(MarkedPlant)
        known = facts_of(
            kind, connection.execute(select_facts(kind).where(t.marked_plant.c.planting_id == planting_id))
        )
        old = next((plant for plant in known if plant.id == marked_plant_id), None)
        if old is None:
            raise KeyError(marked_plant_id)
        if any(plant.replaces_id == old.id for plant in known):
            raise Refused(
                _("Another plant is marked in place of this one already."), _("Nothing was changed.")
            )
        taken = {plant.position for plant in known if plant.row == old.row}
        place = next(
            step for step in range(old.position + 1, old.position + len(taken) + 2) if step not in taken
        )
        day = connection.execute(select(t.visit.c.visited_on).where(t.visit.c.id == visit_id)).scalar_one()
        new = MarkedPlant(
            new_id(), planting_id, max(plant.number for plant in known) + 1, old.row, place, old.stems, day,
            replaces_id=old.id,
        )  # fmt: skip
        write_reading(connection, visit_id, planting_id, marked_plant_id, {"state": PlantState.DEAD})
        connection.execute(insert(t.marked_plant).values(row_of(new)))
        return new
