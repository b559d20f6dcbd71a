"""A digest of what a week's figures rest on: the same facts give the same digest, whenever and wherever.

It covers, of each bay in use: its size, its crop and its marked plants, and what is dated in the week up to the
day the week was looked at: visits with all that was seen, picks, treatments, house checks, temperatures. Notes on
the set-up, what came before and what came after are left out: they may change without the week being another.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import fields
from datetime import UTC, date, datetime
from typing import Any

from bayround.facts.bay_past import BayPast
from bayround.facts.farm import Bay, House, MarkedPlant, Planting
from bayround.facts.moments import local_day
from bayround.facts.weeks import Week
from bayround.week.snapshot import WeekSnapshot

_RESTS_ON: dict[type[Any], tuple[str, ...]] = {
    House: ("id", "name", "kind", "wire_height_m"),
    Bay: ("id", "house_id", "name", "rows", "length_m", "width_m"),
    Planting: (
        "id",
        "bay_id",
        "crop",
        "variety",
        "transplanted_on",
        "plants",
        "stems_per_plant",
        "colour_aim",
    ),
    MarkedPlant: ("id", "planting_id", "number", "row", "position", "stems"),
}
"""Of the set-up, what figures are reckoned from; of everything else all fields count."""
_LATER = frozenset(
    {
        "humidity_low_percent",
        "humidity_high_percent",
        "vapour_pressure_deficit_kpa",
        "light_mol_m2",
        "began_at",
    }
)
"""Fields of days of climate and picks that came later: weeks closed without them keep their digest."""


def of_week(snapshot: WeekSnapshot) -> str:
    """Return the digest (SHA-256, 64 hexadecimal signs) of a week's facts."""
    lines = {_line(fact) for seen in snapshot.bays for fact in _facts(seen.past, snapshot.week)}
    made = hashlib.sha256(f"{snapshot.farm.id} {snapshot.week} {snapshot.as_of.isoformat()}\n".encode())
    for line in sorted(lines):
        made.update(f"{line}\n".encode("utf-8", "surrogatepass"))
    return made.hexdigest()


def _facts(past: BayPast, week: Week) -> Iterator[object]:
    yield past.house
    yield past.bay
    if past.planting is not None:
        yield past.planting
    yield from past.plants
    for record in past.visits:
        if Week.of(record.day) == week:
            yield record.visit
            yield from record.readings.values()
            yield from (*record.checks, *record.cards, *record.weeds, *record.answers)
    yield from (pick for pick in past.picks if Week.of(pick.picked_on) == week)
    for treatment in past.treatments:
        if Week.of(local_day(treatment.ended_at)) == week:
            yield treatment
            yield past.bay, treatment.id
    yield from (check for check in past.house_checks if Week.of(check.checked_on) == week)
    yield from (day for day in past.climate_days if Week.of(day.day) == week)


def _line(fact: Any) -> str:
    if isinstance(fact, tuple):
        return _encode(["bay of treatment", fact[0].id, fact[1]])
    return _encode(
        [
            type(fact).__name__,
            [[name, _value(getattr(fact, name))] for name in _names(type(fact)) if _counts(fact, name)],
        ]
    )


def _counts(fact: Any, name: str) -> bool:
    """Tell whether a field counts: one that earlier versions did not know counts only where it holds something."""
    return name not in _LATER or getattr(fact, name) is not None


_encode = json.JSONEncoder(ensure_ascii=False).encode


def _names(kind: type[Any]) -> tuple[str, ...]:
    if kind not in _RESTS_ON:
        _RESTS_ON[kind] = tuple(field.name for field in fields(kind))
    return _RESTS_ON[kind]


def _value(value: Any) -> Any:
    if value is None or type(value) in (str, bool, float):
        return value
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    return float(value) if isinstance(value, int) else value
