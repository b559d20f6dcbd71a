"""Records with different keys that look as if one thing was keyed in twice, on two laptops."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from bayround.facts.weeks import Week
from bayround.records.codec import kind_named
from bayround.records.farm_state import FarmState, Row


@dataclass(frozen=True, slots=True)
class Doubled:
    """Records of one table that agree in what names such a thing; all of them are kept."""

    table_name: str
    row_ids: tuple[str, ...]


_LIKE: dict[str, tuple[str, ...]] = {
    "person": ("name",),
    "house": ("name",),
    "bay": ("house_id", "name"),
    "planting": ("bay_id", "crop", "transplanted_on"),
    "marked_plant": ("planting_id", "number", "ended_on"),
    "round": ("held_on", "scout_id"),
    "visit": ("bay_id", "visited_on"),
    "pest_check": ("visit_id", "organism", "inspected_part", "where"),
    "card_count": ("visit_id", "card", "organism"),
    "weed_note": ("visit_id", "where", "species"),
    "pick": ("bay_id", "picked_on", "grade", "colour"),
    "treatment": ("ended_at", "active_ingredient", "target"),
    "house_check": ("house_id", "checked_on", "part"),
    "cost": ("spent_on", "what", "amount_hundredths", "bay_id", "house_id"),
    "job": ("bay_id", "kind", "target", "raised_on"),
    "trial": ("name",),
}
"""What names a thing to a person (common practice, no source); a visit counts once a bay and ISO week."""


def doubled_anew(after: FarmState, before: Iterable[FarmState]) -> tuple[Doubled, ...]:
    """Return the records that became alike by merging: none of the files had all of them."""
    sources = list(before)
    found = []
    for table_name in _LIKE:
        for keys in alike(after, table_name):
            if not any(all(key in source.rows[table_name] for key in keys) for source in sources):
                found.append(Doubled(table_name, keys))
    return tuple(found)


def alike(state: FarmState, table_name: str) -> list[tuple[str, ...]]:
    """Return the groups of keys whose records are alike."""
    name_of = _namer(table_name)
    groups: dict[Row, list[str]] = {}
    for key, row in state.rows.get(table_name, {}).items():
        groups.setdefault(name_of(row), []).append(key)
    return sorted(tuple(sorted(keys)) for keys in groups.values() if len(keys) > 1)


def _namer(table_name: str) -> Callable[[Row], Row]:
    names = kind_named(table_name).names
    places = [names.index(name) for name in _LIKE[table_name]]
    week = names.index("visited_on") if table_name == "visit" else None

    def name_of(row: Row) -> Row:
        return tuple(_plain(Week.of(row[place]) if place == week else row[place]) for place in places)

    return name_of


def _plain(value: Any) -> Any:
    return value.strip().casefold() if isinstance(value, str) else value
