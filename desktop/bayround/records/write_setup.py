"""The farm as set up: adding to it, changing it. Nothing is deleted; what is gone has a date."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, update

from bayround.facts.farm import Bay, FarmInfo, House, MarkedPlant, Person, PlantChoice, Planting
from bayround.facts.kept import StandCount
from bayround.facts.money import Cost, Price, WageRate
from bayround.facts.problems import Refused
from bayround.facts.rounds import Round
from bayround.facts.trials import Trial, TrialPlot
from bayround.facts.work import ClimateDay, Correction
from bayround.records import history
from bayround.records.codec import KINDS, Kind, facts_of, kind_of, row_of, select_facts, storable, text_of
from bayround.records.store import Store
from bayround.words import _

SetUp = (
    FarmInfo
    | Person
    | House
    | Bay
    | Planting
    | MarkedPlant
    | PlantChoice
    | Round
    | Trial
    | TrialPlot
    | Cost
    | Price
    | WageRate
    | ClimateDay
    | StandCount
)
# What a record belongs to can't change: readings, visits and picks hang off it.
_FIXED = {
    FarmInfo: {"id", "revision"},
    Planting: {"id", "bay_id"},
    MarkedPlant: {"id", "planting_id"},
    ClimateDay: {"id", "house_id", "day"},
    StandCount: {"id", "planting_id", "counted_on"},
}


def add(store: Store, *facts: object) -> None:
    """Write any mixture of new facts in one transaction; what others refer to goes first.

    Corrections are appended to this file's own history, whatever chain they bring.

    Raises:
        Refused: when a fact breaks a rule of its table; none is then kept.
        KeyError: for a fact that no table keeps; TypeError for the farm's own record.
    """
    by_kind: dict[type[Any], list[Any]] = defaultdict(list)
    for fact in facts:
        by_kind[type(fact)].append(fact)
    for fact_class in by_kind:
        kind_of(fact_class)
    if FarmInfo in by_kind:
        raise TypeError("a farm is made with its file")
    if not facts:
        return
    with store.writing() as connection:
        for kind in KINDS:
            if kind.fact is Correction:
                history.append(connection, by_kind[Correction])
            elif by_kind[kind.fact]:
                connection.execute(insert(kind.table), [row_of(fact) for fact in by_kind[kind.fact]])


def change(
    store: Store, fact: SetUp, person_id: str | None, at: datetime, reason: str = ""
) -> tuple[Correction, ...]:
    """Write a set-up record anew; each changed field goes into the history. Nothing changed, nothing written.

    Returns:
        The entries in the history.

    Raises:
        KeyError: when there is no such record.
        Refused: when a value breaks a rule of the table, or the record would belong to something else.
    """
    return change_all(store, [fact], person_id, at, reason)


def change_all(
    store: Store, facts: Iterable[SetUp], person_id: str | None, at: datetime, reason: str = ""
) -> tuple[Correction, ...]:
    """Write several set-up records anew in one transaction, all or none; otherwise as `change`."""
    with store.reading() as connection:
        changed = [fact for fact in facts if _changed_fields(_stored(connection, fact), fact)]
    if not changed:
        return ()
    with store.writing() as connection:
        return tuple(entry for fact in changed for entry in _change(connection, fact, person_id, at, reason))


def add_and_change(
    store: Store,
    added: Iterable[SetUp],
    changed: Iterable[SetUp],
    person_id: str | None,
    at: datetime,
    reason: str = "",
) -> None:
    """Write new records and existing ones anew in one transaction, all or none; errors as `add` and `change`."""
    with store.writing() as connection:
        for fact in added:
            connection.execute(insert(kind_of(type(fact)).table).values(row_of(fact)))
        for fact in changed:
            _change(connection, fact, person_id, at, reason)


def place_houses(
    store: Store, places: Mapping[str, tuple[float | None, float | None]], person_id: str | None, at: datetime
) -> tuple[Correction, ...]:
    """Write where houses stand (id → metres east, north), in one transaction; whatever else is kept of them stays.

    Raises:
        KeyError: when there is no such house.
    """
    kind = kind_of(House)
    with store.writing() as connection:
        query = select_facts(kind).where(kind.table.c.id.in_(places))
        found = {one.id: one for one in facts_of(kind, connection.execute(query))}
        placed = [
            replace(found[key], map_east_m=east, map_north_m=north) for key, (east, north) in places.items()
        ]
        return tuple(entry for house in placed for entry in _change(connection, house, person_id, at, ""))


def _change(
    connection: Connection, fact: SetUp, person_id: str | None, at: datetime, reason: str
) -> list[Correction]:
    table = kind_of(type(fact)).table
    before = _stored(connection, fact)
    changed = _changed_fields(before, fact)
    if not changed:
        return []
    values = {field: storable(getattr(fact, field)) for field in changed}
    connection.execute(update(table).where(table.c.id == fact.id).values(values))
    now = _stored(connection, fact)
    return [
        history.record(
            connection, table.name, fact.id, field, text_of(getattr(before, field)),
            text_of(getattr(now, field)), person_id, at, reason,
        )
        for field in changed
    ]  # fmt: skip


def _changed_fields(before: SetUp, fact: SetUp) -> list[str]:
    changed = [name for name in kind_of(type(fact)).names if getattr(before, name) != getattr(fact, name)]
    if type(fact) is FarmInfo and "revision" in changed:
        changed.remove("revision")  # counted by the store
    if fixed := set(changed) & _FIXED.get(type(fact), set()):
        raise Refused(
            _("This record can't be moved to another place ({field}).").format(
                field=", ".join(sorted(fixed))
            ),
            _("Nothing was changed."),
            _("End it with a date and add a new one."),
        )
    return changed


def _stored(connection: Connection, fact: SetUp) -> Any:
    kind: Kind[Any] = kind_of(type(fact))
    found = facts_of(kind, connection.execute(select_facts(kind).where(kind.table.c.id == fact.id)))
    if not found:
        raise KeyError(f"{kind.table.name} {fact.id}")
    return found[0]
