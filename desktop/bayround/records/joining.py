"""Two states of one farm become one: records by key, values field by field. Nothing is written here.

The result depends on neither order nor repetition: what holds is decided by `records.versions` from the
union of both histories and both files' values; where a choice is free it is made by the values alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from itertools import product
from typing import Any

from sqlalchemy import CheckConstraint, Table, UniqueConstraint

from bayround.facts.problems import FarmFileProblem
from bayround.facts.rounds import VisitState
from bayround.facts.work import Correction
from bayround.records.codec import Kind, kind_named, text_of
from bayround.records.farm_state import MERGED_KINDS, FarmState, Place, Row, value_of
from bayround.records.versions import Histories, Open, longest, of_fields, open_values, whole_texts
from bayround.words import _

_KEPT_BY_THE_PROGRAM = {
    ("farm", "revision"): max,
    ("visit", "started_at"): min,
    ("visit", "finished_at"): min,
    ("person_pin", "pin_hash"): min,
}  # nobody types these: no conflict, but one rule


def join(first: FarmState, second: FarmState) -> FarmState:
    """Return the farm that holds everything of both.

    Raises:
        FarmFileProblem: when an entry of the history is not the same in both.
    """
    joined = FarmState({}, _entries(first, second))
    joined.order = first.order + tuple(key for key in second.order if key not in first.entries)
    joined.histories = longest({first.order, second.order, *first.histories, *second.histories})
    joined.became = dict(first.became)
    for lost, kept in second.became.items():
        _unite(joined, lost, kept)
    work = _Joining(joined, (first, second), Histories(joined.histories | {joined.order}))
    for kind in MERGED_KINDS:
        work.join_kind(kind)
    _leave_out_what_was_taken_back(joined, (first, second))
    joined.became = {lost: joined.now(lost) for lost in joined.became}
    return joined


def _entries(first: FarmState, second: FarmState) -> dict[str, Correction]:
    for key in first.entries.keys() & second.entries.keys():
        if _content(first.entries[key]) != _content(second.entries[key]):
            raise FarmFileProblem(
                _("The two files tell the history of {table} {row} differently.").format(
                    table=first.entries[key].table_name, row=first.entries[key].row_id
                ),
                _("Nothing was merged."),
                _("Have both files checked; one of them was altered. A backup may be sound."),
            )
    return {**second.entries, **first.entries}


def _content(entry: Correction) -> tuple[object, ...]:
    return (
        entry.table_name, entry.row_id, entry.field, entry.before, entry.after, entry.person_id,
        entry.corrected_at, entry.reason,
    )  # fmt: skip


def _unite(joined: FarmState, one: str, other: str) -> None:
    """Note that two keys are of one record; the smaller key stays."""
    one, other = joined.now(one), joined.now(other)
    if one != other:
        joined.became[max(one, other)] = min(one, other)


@dataclass(slots=True)
class _Joining:
    joined: FarmState
    sources: tuple[FarmState, FarmState]
    histories: Histories
    own: list[dict[Place, set[str]]] = field(default_factory=list)
    about: dict[Place, list[Correction]] = field(default_factory=dict)
    beside: dict[Place, dict[str, set[str]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.own = [
            {place: set(of_fields(entries)) for place, entries in source.by_record().items()}
            for source in self.sources
        ]

    def join_kind(self, kind: Kind[Any]) -> None:
        """Join the records of one kind; those it refers to are joined already."""
        groups = self._groups(kind)
        known = len(self.joined.became)
        self._see_the_same_twice(kind, groups)
        if not self.about or len(self.joined.became) != known:
            self.about = self.joined.by_record()
        self._gather_beside(kind)
        done: dict[str, Row] = {}
        for key, versions in groups.items():
            place = (kind.table.name, key)
            first = versions[0][0]
            untouched = place not in self.about and place not in self.beside
            if untouched and all(row == first for row, _source, _key in versions):
                done[key] = first
                continue
            found = self._settle(kind, key, versions)
            if found is not None:
                done[key] = found
        self.joined.rows[kind.table.name] = done

    def _groups(self, kind: Kind[Any]) -> dict[str, list[tuple[Row, int, str]]]:
        """Return key → the versions of the record, each with its source and the key it has there."""
        groups: dict[str, list[tuple[Row, int, str]]] = {}
        refers = _references(kind) if self.joined.became else ()
        now = self.joined.now
        for number, source in enumerate(self.sources):
            for key, row in source.rows.get(kind.table.name, {}).items():
                renamed = row
                if refers and any(row[place] in self.joined.became for place in refers):
                    renamed = tuple(
                        now(value) if place in refers and value is not None else value
                        for place, value in enumerate(row)
                    )
                groups.setdefault(now(key), []).append((renamed, number, key))
        return groups

    def _see_the_same_twice(self, kind: Kind[Any], groups: dict[str, list[tuple[Row, int, str]]]) -> None:
        """Unite records that the table allows only once, like two visits to one bay in one round."""
        at = kind.names.index("id")
        for unique in _natural_keys(kind.table):
            known: dict[Row, str] = {}
            for key in sorted(groups):
                if key not in groups:
                    continue
                natural = tuple(groups[key][0][0][place] for place in unique)
                same = known.setdefault(natural, key)
                if same != key:
                    _unite(self.joined, same, key)
                    groups[same] += [
                        ((*row[:at], same, *row[at + 1 :]), number, there)
                        for row, number, there in groups.pop(key)
                    ]

    def _gather_beside(self, kind: Kind[Any]) -> None:
        self.beside = {}
        for source in self.sources:
            for (table_name, key, name), values in source.beside.items():
                if table_name == kind.table.name:
                    place = (table_name, self.joined.now(key))
                    self.beside.setdefault(place, {}).setdefault(name, set()).update(values)

    def _settle(self, kind: Kind[Any], key: str, versions: list[tuple[Row, int, str]]) -> Row | None:
        """Return the record field by field, or nothing when it was taken out of a draft."""
        table = kind.table.name
        about, beside = self.about.get((table, key), []), self.beside.get((table, key), {})
        removed, by_field = whole_texts(about), of_fields(about)
        if removed and not _lives(kind, [row for row, _source, _key in versions], beside, removed):
            return None
        values: dict[str, Any] = {}
        opens: dict[str, tuple[Open, dict[str, Any]]] = {}
        for place, name in enumerate(kind.names):
            typed = {text_of(row[place]): row[place] for row, _source, _key in versions}
            if name == "id":
                values[name] = key
            elif (table, name) == ("visit", "state"):
                done = VisitState.DONE.value
                values[name] = done if done in typed else next(iter(typed.values()))
            elif (table, name) in _KEPT_BY_THE_PROGRAM:
                there = [value for value in typed.values() if value is not None]
                values[name] = _KEPT_BY_THE_PROGRAM[table, name](there) if there else None
            else:
                opens[name] = self._open(kind, name, versions, by_field, beside, removed), typed
        shown = _shown(kind.table, {name: found for name, (found, _typed) in opens.items()})
        for name, (found, typed) in opens.items():
            text = shown[name]
            values[name] = typed[text] if text in typed else value_of(kind.table, name, text)
            others = set(found.loose) - (set() if name in by_field else {text})
            if others:
                self.joined.beside[table, key, name] = frozenset(others)
        return tuple(values[name] for name in kind.names)

    def _open(
        self,
        kind: Kind[Any],
        name: str,
        versions: list[tuple[Row, int, str]],
        by_field: dict[str, list[Correction]],
        beside: dict[str, set[str]],
        removed: list[dict[str, str]],
    ) -> Open:
        """Return the values of a field that hold."""
        place, table = kind.names.index(name), kind.table.name
        loose = set(beside.get(name, ()))
        for row, number, there in versions:
            if name not in self.own[number].get((table, there), ()):
                loose.add(text_of(row[place]))
        taken_out = {one[name] for one in removed if name in one}
        return open_values(by_field.get(name, []), loose, self.histories, taken_out)


def _shown(table: Table, opens: dict[str, Open]) -> dict[str, str]:
    """Return field → the value that is shown: the first, or the first that go together where one bounds the other."""
    shown = {name: found.values[0] for name, found in opens.items()}
    for low, high in _in_order(table):
        choices = [opens[name].values for name in (low, high) if name in opens]
        if len(choices) == 2 and max(map(len, choices)) > 1:
            pairs = product(*choices)
            fitting = (pair for pair in pairs if _go_together(table, low, high, *pair))
            shown[low], shown[high] = next(fitting, (shown[low], shown[high]))
    return shown


def _go_together(table: Table, low: str, high: str, least: str, most: str) -> bool:
    one, other = value_of(table, low, least), value_of(table, high, most)
    return one is None or other is None or bool(one <= other)


@cache
def _in_order(table: Table) -> tuple[tuple[str, str], ...]:
    """Return the pairs of fields of which a rule of the table says that the first is at most the second."""
    rules = (str(rule.sqltext) for rule in table.constraints if isinstance(rule, CheckConstraint))
    found = (re.fullmatch(r"(\w+) (<=|>=) (\w+)", rule) for rule in sorted(rules))
    return tuple((one[1], one[3]) if one[2] == "<=" else (one[3], one[1]) for one in found if one)


def _lives(
    kind: Kind[Any], rows: list[Row], beside: dict[str, set[str]], removed: list[dict[str, str]]
) -> bool:
    """Tell whether a record holds anything else than what was seen when it was taken out."""
    for place, name in enumerate(kind.names):
        known = {one.get(name, "") for one in removed}
        here = {text_of(row[place]) for row in rows} | beside.get(name, set())
        if name != "id" and any(value and value not in known for value in here):
            return True
    return False


def _references(kind: Kind[Any]) -> frozenset[int]:
    places = {kind.names.index(column.name) for column in kind.table.c if column.foreign_keys}
    if kind.table.name == "imported_row":
        places.add(kind.names.index("row_id"))
    return frozenset(places | {kind.names.index("id")})


@cache
def _natural_keys(table: Table) -> tuple[tuple[int, ...], ...]:
    """Return the sets of fields that no two records of a table may share, as places in a row."""
    names = kind_named(table.name).names
    return tuple(
        tuple(names.index(column.name) for column in rule.columns)
        for rule in sorted(table.constraints, key=lambda rule: str(rule.name))
        if isinstance(rule, UniqueConstraint)
    )


def _leave_out_what_was_taken_back(joined: FarmState, sources: Iterable[FarmState]) -> None:
    """Records of an import that one laptop took back do not return from another one."""
    names = {kind.table.name: kind.names for kind in MERGED_KINDS}
    batch, one = names["import_batch"], names["imported_row"]
    back = {
        key
        for key, row in joined.rows["import_batch"].items()
        if row[batch.index("taken_back_at")] is not None
    }
    knowing = [source for source in sources if any(_taken_back(source, key) for key in back)]
    for row in joined.rows["imported_row"].values() if back else ():
        table, key = row[one.index("table_name")], row[one.index("row_id")]
        gone = any(key not in source.rows.get(table, {}) for source in knowing)
        if row[one.index("batch_id")] in back and gone:
            joined.rows.get(table, {}).pop(key, None)


def _taken_back(source: FarmState, batch_id: str) -> bool:
    row = source.rows.get("import_batch", {}).get(batch_id)
    return row is not None and row[-1] is not None
