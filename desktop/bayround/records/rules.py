"""What can't be true of a farm although every table by itself allows it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, Select, Table, and_, func, or_, select

from bayround.facts.problems import Refused
from bayround.facts.weeks import Week
from bayround.facts.work import Correction
from bayround.records import tables as t
from bayround.records.codec import facts_of, kind_named, kind_of, select_facts, text_of
from bayround.records.history import ADDED, REMOVED
from bayround.words import _

_AT_MOST = 100  # findings of one rule
_KEYS_AT_ONCE = 500  # keys in one question, far below what any database allows


def broken_rules(connection: Connection) -> tuple[str, ...]:
    """Return, in words, every rule that the facts of a farm break."""
    found: list[str] = []
    for words, query in _questions():
        found += [words.format(*row) for row in connection.execute(query.limit(_AT_MOST))]
    return (*found, *_bad_weeks(connection), *_values_beside_the_history(connection))


def _questions() -> list[tuple[str, Select[Any]]]:
    return [
        (
            _("The farm's own record is there {0} times instead of once."),
            select(func.count()).select_from(t.farm).having(func.count() != 1),
        ),
        (_("Reading {0} is of a plant in another planting than visit {1}."), _strange_plants(t.reading)),
        (
            _("Answer {0} is about a plant in another planting than visit {1}."),
            _strange_plants(t.doubt_answer),
        ),
        (_("Visit {0} is of a planting in another bay."), _strange_plantings(t.visit)),
        (_("Pick {0} is of a planting in another bay."), _strange_plantings(t.pick)),
        (_("Visit {0} is on a day on which its planting did not stand."), _visits_out_of_time()),
        (_("Plantings {0} and {1} stand in one bay at the same time."), _plantings_in_the_same_place()),
        (_("Two marked plants of planting {0} have the number {1}."), _doubled_numbers()),
        (_("Marked plant {0} is in a row that its bay has not."), _rows_beyond_the_bay()),
        (_("Marked plant {0} replaces one of another planting."), _strange_replacements()),
        (_("Job {0} has no first step."), _without(t.job, t.job_event, "job_id")),
        (_("Treatment {0} covers no bay."), _without(t.treatment, t.treatment_bay, "treatment_id")),
    ]


def _strange_plants(table: Table) -> Select[Any]:
    return (
        select(table.c.id, table.c.visit_id)
        .join(t.visit, t.visit.c.id == table.c.visit_id)
        .join(t.marked_plant, t.marked_plant.c.id == table.c.marked_plant_id)
        .where(t.marked_plant.c.planting_id != t.visit.c.planting_id)
    )


def _strange_plantings(table: Table) -> Select[Any]:
    planting = t.planting
    joined = select(table.c.id).join(planting, planting.c.id == table.c.planting_id)
    return joined.where(planting.c.bay_id != table.c.bay_id)


def _visits_out_of_time() -> Select[Any]:
    planting, day = t.planting, t.visit.c.visited_on
    joined = select(t.visit.c.id).join(planting, planting.c.id == t.visit.c.planting_id)
    return joined.where(or_(day < planting.c.transplanted_on, day > planting.c.removed_on))


def _plantings_in_the_same_place() -> Select[Any]:
    one, other = t.planting.alias("one"), t.planting.alias("other")
    return select(one.c.id, other.c.id).where(
        and_(
            one.c.bay_id == other.c.bay_id,
            one.c.id < other.c.id,
            or_(other.c.removed_on.is_(None), one.c.transplanted_on < other.c.removed_on),
            or_(one.c.removed_on.is_(None), other.c.transplanted_on < one.c.removed_on),
        )
    )


def _doubled_numbers() -> Select[Any]:
    plant = t.marked_plant
    standing = select(plant.c.planting_id, plant.c.number).where(plant.c.ended_on.is_(None))
    return standing.group_by(plant.c.planting_id, plant.c.number).having(func.count() > 1)


def _rows_beyond_the_bay() -> Select[Any]:
    plant, planting, bay = t.marked_plant, t.planting, t.bay
    return (
        select(plant.c.id)
        .join(planting, planting.c.id == plant.c.planting_id)
        .join(bay, bay.c.id == planting.c.bay_id)
        .where(plant.c.row > bay.c.rows)
    )


def _strange_replacements() -> Select[Any]:
    new, old = t.marked_plant.alias("new"), t.marked_plant.alias("old")
    joined = select(new.c.id).join(old, old.c.id == new.c.replaces_id)
    return joined.where(old.c.planting_id != new.c.planting_id)


def _without(table: Table, parts: Table, reference: str) -> Select[Any]:
    joined = select(table.c.id).outerjoin(parts, parts.c[reference] == table.c.id)
    return joined.where(parts.c.id.is_(None))


def _bad_weeks(connection: Connection) -> Iterator[str]:
    revision = connection.execute(select(func.max(t.farm.c.revision))).scalar_one()
    for week, closed_at in connection.execute(select(t.week_close.c.week, t.week_close.c.revision)):
        try:
            Week.parse(week)
        except Refused:
            yield _("The closed week “{week}” is not in the calendar.").format(week=week)
        if closed_at > (revision or 0):
            yield _("The week {week} was closed at a later state than the farm has.").format(week=week)


def _values_beside_the_history(connection: Connection) -> Iterator[str]:
    """Compare what the history says a value became with the value that is there.

    Where files were merged, an entry goes on from any earlier value of its field, and any value that
    nothing took the place of may be the one that is there.
    """
    kind = kind_of(Correction)
    ordered = select_facts(kind).order_by(t.correction.c.sequence)
    pairs = connection.execute(select(t.merged_row.c.id, t.merged_row.c.became_id))
    became = {row.id: row.became_id for row in pairs}
    merged = connection.execute(select(t.merged_history.c.id).limit(1)).first() is not None
    last: dict[str, dict[tuple[str, str], set[str]]] = defaultdict(dict)
    for entry in facts_of(kind, connection.execute(ordered)):
        row_id = became.get(entry.row_id, entry.row_id)
        if entry.field == REMOVED:  # nothing is left that earlier entries could be compared with
            values = last[entry.table_name]
            for gone in [place for place in values if place[0] == row_id]:
                del values[gone]
        if entry.field in {ADDED, REMOVED}:
            continue
        field = (row_id, entry.field)
        earlier = last[entry.table_name].get(field)
        if earlier is not None and entry.before not in earlier and not merged:
            yield _("The history of {field} in {table} {row} has a gap.").format(
                field=entry.field, table=entry.table_name, row=entry.row_id
            )
        kept = earlier if merged and earlier else set()
        last[entry.table_name][field] = kept | {entry.after}
    for table_name, values in last.items():
        yield from _values_not_as(connection, table_name, values)


def _values_not_as(
    connection: Connection, table_name: str, values: dict[tuple[str, str], set[str]]
) -> Iterator[str]:
    try:
        kind = kind_named(table_name)
    except KeyError:
        yield _("The history of corrections names a table “{table}” that there is not.").format(
            table=table_name
        )
        return
    keys = sorted({row_id for row_id, _field in values})
    drafts = set(connection.execute(select(t.visit.c.id).where(t.visit.c.state == "draft")).scalars())
    now: dict[str, Any] = {}
    for start in range(0, len(keys), _KEYS_AT_ONCE):
        some = keys[start : start + _KEYS_AT_ONCE]
        for fact in facts_of(kind, connection.execute(select_facts(kind).where(kind.table.c.id.in_(some)))):
            now[fact.id] = fact
    for (row_id, field), after in values.items():
        if getattr(now.get(row_id), "visit_id", row_id) in drafts:
            continue  # a draft's cells are typed over freely
        if row_id not in now or text_of(getattr(now[row_id], field, None)) not in after:
            yield _("{field} in {table} {row} is not what the history says it was changed to.").format(
                field=field, table=table_name, row=row_id
            )
