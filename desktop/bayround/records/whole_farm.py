"""A farm file read whole, every table; and a farm file made from such facts, whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, insert, update

from bayround.facts.farm import FarmInfo
from bayround.facts.problems import FarmFileProblem
from bayround.facts.work import Correction
from bayround.records import check, placing, problems, tables
from bayround.records.codec import KINDS, Kind, facts_of, row_of, select_facts
from bayround.records.farm_file import create_farm, open_farm
from bayround.records.store import Store
from bayround.words import _

SCHEMA_VERSION = tables.SCHEMA_VERSION

KINDS_BY_TABLE: Mapping[str, type[Any]] = {kind.table.name: kind.fact for kind in KINDS}
"""Every table of facts and the class of what it keeps; what others refer to comes first."""


def read_whole(store: Store) -> dict[str, tuple[Any, ...]]:
    """Return every fact by its table, ordered by key; corrections in the order of the history.

    Raises:
        FarmFileProblem: when the file can't be read.
    """
    with store.reading() as connection:
        return {kind.table.name: _all(connection, kind) for kind in KINDS}


def _all(connection: Connection, kind: Kind[Any]) -> tuple[Any, ...]:
    order = kind.table.c.sequence if kind.fact is Correction else kind.table.c.id
    return facts_of(kind, connection.execute(select_facts(kind).order_by(order)))


def make(path: Path, facts: Mapping[str, Sequence[Any]], look: Callable[[Store], Sequence[str]]) -> None:
    """Make the farm file *path* from facts by table, the history with the chain that it brings.

    *look* goes through the farm before it gets its name and returns what is wrong with it.

    Raises:
        Refused: when a fact breaks a rule of its table.
        FarmFileProblem: when there is such a file already, it can't be made there, or *look* found something.
    """
    path = path.resolve()
    if path.exists():
        raise problems.already_there(path)
    (farm,) = facts["farm"]
    unfinished = placing.unfinished(path.parent)
    try:
        with create_farm(unfinished, farm.name) as store, store.writing() as connection:
            _fill(connection, facts, farm)
        with open_farm(unfinished, read_only=True) as made:
            if found := look(made):
                raise FarmFileProblem(
                    _("The farm can't be made: {what}").format(what=found[0]), _("No farm was made.")
                )
        with problems.disk_in_words(path):
            placing.sync_file(unfinished)
            placing.place(unfinished, path)
    except FileExistsError:
        raise problems.already_there(path) from None
    finally:
        placing.discard(unfinished)


def _fill(connection: Connection, facts: Mapping[str, Sequence[Any]], farm: FarmInfo) -> None:
    check.check_references_at_the_end(connection)
    for kind in KINDS:
        rows = [row_of(fact) for fact in facts[kind.table.name]]
        if kind.fact is FarmInfo:
            connection.execute(update(kind.table).values(row_of(farm)))
        elif kind.fact is Correction:
            rows = [{**row, "sequence": place} for place, row in enumerate(rows, 1)]
        if rows and kind.fact is not FarmInfo:
            connection.execute(insert(kind.table), rows)
