"""Two people in one draft: the second one is told what the first one typed, and nothing is overwritten."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ColumnElement, Connection, delete, select

from bayround.facts.problems import Problem, TypedMeanwhile
from bayround.facts.typed import Place, Typed
from bayround.records.codec import text_of
from bayround.records.server_schema import keyed_cell
from bayround.words import _


def refuse_overtaken(
    connection: Connection, typed: Typed | None, visit_id: str, place: Place, now: object, wanted: object
) -> None:
    """Refuse to write over a value that the person never saw. The same value typed twice is no quarrel.

    Raises:
        TypedMeanwhile: nothing was saved then.
    """
    if typed is None or place not in typed.seen or now in (typed.seen[place], wanted):
        return
    who, at = _who(connection, visit_id, place)
    raise TypedMeanwhile(
        Problem(
            _("The value was changed since you saw it: it is now “{now}”.").format(now=_shown(now)),
            _("Your value “{wanted}” was not saved.").format(wanted=_shown(wanted)),
            _("Look at the new value and decide again."),
        ),
        place,
        now,
        wanted,
        who,
        at,
    )


def _shown(value: object) -> str:
    if value is None or isinstance(value, str | int | float):
        return text_of(value)
    return _("another row")


def _keeps_who(connection: Connection) -> bool:
    return connection.dialect.name != "sqlite"  # a farm file has one writer: nobody would ask


def _who(connection: Connection, visit_id: str, place: Place) -> tuple[str | None, datetime | None]:
    if not _keeps_who(connection):
        return None, None
    column = keyed_cell.c
    query = select(column.person_id, column.keyed_at).where(_this(visit_id, place))
    found = connection.execute(query).one_or_none()
    return (found.person_id or None, found.keyed_at) if found else (None, None)


def note_who(connection: Connection, typed: Typed | None, visit_id: str, *places: Place) -> None:
    """Note on a server who typed the values that hold from now on."""
    if typed is None or not places or not _keeps_who(connection):
        return
    from sqlalchemy.dialects.postgresql import insert

    rows = [
        {"row_id": row_id, "field": field, "visit_id": visit_id, "person_id": typed.person_id or "",
         "keyed_at": typed.at}
        for row_id, field in places
    ]  # fmt: skip
    new = insert(keyed_cell).values(rows)
    newer = {"person_id": new.excluded.person_id, "keyed_at": new.excluded.keyed_at}
    connection.execute(new.on_conflict_do_update(constraint="pk_keyed_cell", set_=newer))


def forget_who(connection: Connection, visit_id: str) -> None:
    """A finished visit needs no notes of who typed: from now on its corrections say so."""
    if _keeps_who(connection):
        connection.execute(delete(keyed_cell).where(keyed_cell.c.visit_id == visit_id))


def _this(visit_id: str, place: Place) -> ColumnElement[bool]:
    column = keyed_cell.c
    return (column.visit_id == visit_id) & (column.row_id == place[0]) & (column.field == place[1])
