"""PINs of people: one a person at most. What is taken out stays out when laptops merge."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Connection, delete, insert, select

from bayround.facts.ids import new_id
from bayround.facts.kept import PersonPin
from bayround.records import history, tables
from bayround.records.codec import facts_of, kind_of, row_of, select_facts
from bayround.records.store import Store


def read_pins(store: Store) -> dict[str, str]:
    """Return person → hash of the PIN, for everybody who has one."""
    pin = tables.person_pin.c
    with store.reading() as connection:
        return {
            row.person_id: row.pin_hash for row in connection.execute(select(pin.person_id, pin.pin_hash))
        }


def write_pin(
    store: Store, person_id: str, pin_hash: str, by: str | None, at: datetime, reason: str = ""
) -> None:
    """Keep the hash of a new PIN in place of the one before; an empty hash: the person has none any more.

    The history says who took a PIN out or changed it, and when.
    """
    with store.writing() as connection:
        before = _pins_of(connection, person_id)
        for pin in before:
            connection.execute(delete(tables.person_pin).where(tables.person_pin.c.id == pin.id))
            history.record(
                connection, tables.person_pin.name, pin.id, history.REMOVED, history.whole_text(pin), "",
                by, at, reason,
            )  # fmt: skip
        if pin_hash:
            connection.execute(
                insert(tables.person_pin).values(row_of(PersonPin(new_id(), person_id, pin_hash)))
            )


def _pins_of(connection: Connection, person_id: str) -> tuple[PersonPin, ...]:
    kind = kind_of(PersonPin)
    this = tables.person_pin.c.person_id == person_id
    return facts_of(kind, connection.execute(select_facts(kind).where(this)))
