"""A marked plant that died gets a follower, in one transaction."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from sqlalchemy import Connection, insert, select, update

from bayround.facts.farm import MarkedPlant
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.rounds import PlantState, Reading
from bayround.records import history
from bayround.records import tables as t
from bayround.records.codec import facts_of, kind_of, row_of, select_facts, text_of
from bayround.records.store import Store
from bayround.records.write_visit import planting_of_draft, write_reading
from bayround.words import _


def replace_plant(
    store: Store,
    visit_id: str,
    marked_plant_id: str,
    person_id: str | None = None,
    at: datetime | None = None,
) -> MarkedPlant:
    """Keep that a marked plant is dead and that another one is marked in its place, and return that one.

    It stands in the same row, at the next place where none is marked, and takes the next number. One that was taken
    back on that day is marked again; one taken back earlier never stood, and another one is marked.

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
        day = connection.execute(select(t.visit.c.visited_on).where(t.visit.c.id == visit_id)).scalar_one()
        followers = [plant for plant in known if plant.replaces_id == old.id]
        if any(plant.ended_on is None or plant.ended_on != plant.marked_on for plant in followers):
            raise Refused(
                _("Another plant is marked in place of this one already."), _("Nothing was changed.")
            )
        if taken_back := next((plant for plant in followers if plant.marked_on == day), None):
            _set_end(connection, taken_back, None, person_id, at, "marked again")
            write_reading(connection, visit_id, planting_id, marked_plant_id, {"state": PlantState.DEAD})
            return replace(taken_back, ended_on=None)
        taken = {plant.position for plant in known if plant.row == old.row}
        place = next(
            step for step in range(old.position + 1, old.position + len(taken) + 2) if step not in taken
        )
        new = MarkedPlant(
            new_id(), planting_id, max(plant.number for plant in known) + 1, old.row, place, old.stems, day,
            replaces_id=old.id,
        )  # fmt: skip
        write_reading(connection, visit_id, planting_id, marked_plant_id, {"state": PlantState.DEAD})
        connection.execute(insert(t.marked_plant).values(row_of(new)))
        return new


def take_back(
    store: Store, visit_id: str, marked_plant_id: str, before: PlantState, person_id: str | None, at: datetime
) -> None:
    """Take the replacing of a plant back within its draft: the plant is as it was found *before*, the new one never stood.

    Raises:
        Refused: when the visit is finished, no plant was marked in its place on that day, or that one was read.
    """
    with store.writing() as connection:
        planting_id = planting_of_draft(connection, visit_id)
        day = connection.execute(select(t.visit.c.visited_on).where(t.visit.c.id == visit_id)).scalar_one()
        kind = kind_of(MarkedPlant)
        query = select_facts(kind).where(
            t.marked_plant.c.replaces_id == marked_plant_id, t.marked_plant.c.marked_on == day
        )
        found = facts_of(kind, connection.execute(query))
        if not found or found[0].ended_on is not None:
            raise Refused(_("No plant was marked in place of this one today."), _("Nothing was changed."))
        if _is_read(connection, found[0].id):
            raise Refused(
                _("The plant marked in its place has numbers already."),
                _("Nothing was changed."),
                _("Take those out first, or put the marked plants right under Farm."),
            )
        _set_end(connection, found[0], day, person_id, at, "taken back")
        write_reading(connection, visit_id, planting_id, marked_plant_id, {"state": before})


def _is_read(connection: Connection, plant_id: str) -> bool:
    """Tell whether anything was read on a plant, or found in its place."""
    kind = kind_of(Reading)
    query = select_facts(kind).where(t.reading.c.marked_plant_id == plant_id)
    read = facts_of(kind, connection.execute(query))
    return any(one != Reading(one.id, one.visit_id, one.marked_plant_id) for one in read)


def _set_end(
    connection: Connection,
    plant: MarkedPlant,
    end: date | None,
    person_id: str | None,
    at: datetime | None,
    why: str,
) -> None:
    """End a marked plant on a day, or let it stand again; the history keeps it."""
    table = t.marked_plant
    connection.execute(update(table).where(table.c.id == plant.id).values(ended_on=end))
    history.record(
        connection, table.name, plant.id, "ended_on", text_of(plant.ended_on), text_of(end), person_id,
        at or datetime.now(UTC), why,
    )  # fmt: skip
