"""One visit at a time: what the keying screen needs."""

from __future__ import annotations

from typing import TypeVar

from sqlalchemy import Connection, and_, or_, select

from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, Reading, Visit, VisitState, WeedNote
from bayround.facts.visit import VisitFacts
from bayround.facts.work import Correction
from bayround.records import store as farm_store
from bayround.records import tables
from bayround.records.codec import facts_of, kind_of, select_facts
from bayround.records.history import REMOVED
from bayround.records.store import Store

Fact = TypeVar("Fact")


def read_open_visits(store: Store) -> tuple[Visit, ...]:
    """Return the visits that are still drafts, oldest first: where a crash or a break left off."""
    kind, table = kind_of(Visit), tables.visit
    query = select_facts(kind).where(table.c.state == VisitState.DRAFT.value)
    with store.reading() as connection:
        return facts_of(kind, connection.execute(query.order_by(table.c.visited_on, table.c.id)))


def read_visit(store: Store, visit_id: str) -> VisitFacts:
    """Return a visit with its readings, checks, cards, weeds, answered doubts and corrections.

    Raises:
        KeyError: when there is no such visit.
    """
    with store.reading() as connection:
        visits = facts_of(
            kind_of(Visit),
            connection.execute(select_facts(kind_of(Visit)).where(tables.visit.c.id == visit_id)),
        )
        if not visits:
            raise KeyError(visit_id)
        return VisitFacts(
            visit=visits[0],
            readings=_of(connection, Reading, visit_id),
            pest_checks=_of(connection, PestCheck, visit_id),
            card_counts=_of(connection, CardCount, visit_id),
            weed_notes=_of(connection, WeedNote, visit_id),
            doubt_answers=_of(connection, DoubtAnswer, visit_id),
            corrections=_corrections_of(connection, visit_id),
            revision=farm_store.read_revision(connection),
        )


def _of(connection: Connection, fact: type[Fact], visit_id: str) -> tuple[Fact, ...]:
    kind = kind_of(fact)
    query = select_facts(kind).where(kind.table.c.visit_id == visit_id).order_by(kind.table.c.id)
    return facts_of(kind, connection.execute(query))


def _corrections_of(connection: Connection, visit_id: str) -> tuple[Correction, ...]:
    kind, history = kind_of(Correction), tables.correction.c
    parts = [and_(history.table_name == tables.visit.name, history.row_id == visit_id)]
    for table in (tables.reading, tables.pest_check, tables.card_count, tables.weed_note):
        own = select(table.c.id).where(table.c.visit_id == visit_id)
        parts.append(and_(history.table_name == table.name, history.row_id.in_(own)))
    query = select_facts(kind).where(or_(*parts), history.field != REMOVED)
    return facts_of(kind, connection.execute(query.order_by(history.sequence)))


def read_revision(store: Store) -> int:
    """Return how often the farm was written to; the same number means nothing changed."""
    with store.reading() as connection:
        return farm_store.read_revision(connection)
