"""Corrections as a person reads them: what, where, before, after, who, when, why; and which came after a closing."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from bayround.facts import chain
from bayround.facts.moments import local_day, start_of_day
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import Correction, WeekClose
from bayround.words import _

WHOLE_RECORD = {"(added)", "(removed)"}
"""In place of a field: the whole record was added after the visit was finished, or taken out."""


@dataclass(frozen=True, slots=True)
class Place:
    """What a correction is of: house and bay, the day it was seen, plant, organism or the like."""

    house: str = ""
    bay: str = ""
    day: date | None = None
    what: str = ""


@dataclass(frozen=True, slots=True)
class CorrectedValue:
    """One entry of the history in words. *table* and *field* are the record's own names; *at* is an instant."""

    place: Place
    table: str
    field: str
    before: str
    after: str
    who: str
    at: datetime
    why: str

    @property
    def week(self) -> Week | None:
        """The week of what was corrected, when it has a day."""
        return Week.of(self.place.day) if self.place.day else None


def last_close(closes: Iterable[WeekClose], before: Week) -> WeekClose | None:
    """Return the newest closing of a week before *before*, or nothing."""
    earlier = [close for close in closes if close.week < str(before)]
    return max(earlier, key=lambda close: (close.closed_at, close.id), default=None)


def close_of(closes: Iterable[WeekClose], week: Week) -> WeekClose | None:
    """Return the newest closing of a week, or nothing while it is open."""
    own = [close for close in closes if close.week == str(week)]
    return max(own, key=lambda close: (close.closed_at, close.id), default=None)


def since(season: SeasonFacts, close: WeekClose) -> tuple[Correction, ...]:
    """Return the entries of the history that a closed workbook did not know of, in order.

    Where nothing tells which entries it knew, those made after the moment of closing.
    """
    knew = entries_up_to(season, close.chain_head)
    if knew is None:
        return tuple(entry for entry in season.corrections if entry.corrected_at > close.closed_at)
    return tuple(entry for entry in season.corrections if entry.id not in knew)


def entries_up_to(season: SeasonFacts, head: str | None) -> frozenset[str] | None:
    """Return the keys of the entries that a chain with the hash *head* holds; nothing when no chain has it.

    Chains are the farm's own history and, after a merge, those of the other laptops as they had them.
    """
    if head is None:
        return None
    if head in {"", chain.NO_CORRECTIONS}:
        return frozenset()
    for place, entry in enumerate(season.corrections):
        if entry.chain == head:
            return frozenset(known.id for known in season.corrections[: place + 1])
    entries = {entry.id: entry for entry in season.corrections}
    for merged in season.merged_histories:
        keys: list[str] = json.loads(merged.entry_ids)
        if not entries.keys() >= set(keys):
            continue
        for place, made in enumerate(chain.heads(entries[key] for key in keys)):
            if made == head:
                return frozenset(keys[: place + 1])
    return None


def to_tell(season: SeasonFacts, week: Week) -> tuple[CorrectedValue, ...]:
    """Return the corrections that the workbook of *week* lists.

    Those that the workbook of the last closed week before it did not know of; while no earlier week is closed,
    those made since the week began.
    """
    close = last_close(season.week_closes, week)
    if close is not None:
        found = since(season, close)
    else:
        begin = start_of_day(week.monday)
        found = tuple(entry for entry in season.corrections if entry.corrected_at >= begin)
    return in_words(season, found)


def in_words(season: SeasonFacts, corrections: Sequence[Correction]) -> tuple[CorrectedValue, ...]:
    """Return corrections with the names of what they are about."""
    if not corrections:
        return ()
    names = {person.id: person.name for person in season.people}
    names |= {bay.id: bay.name for bay in season.bays} | {house.id: house.name for house in season.houses}
    places = _places(season, {entry.row_id for entry in corrections})
    return tuple(
        CorrectedValue(
            places.get(entry.row_id, Place()),
            entry.table_name,
            entry.field,
            _shown(entry.field, entry.before, names),
            _shown(entry.field, entry.after, names),
            names.get(entry.person_id or "", ""),
            entry.corrected_at,
            entry.reason,
        )
        for entry in corrections
    )


def _shown(field: str, text: str, names: Mapping[str, str]) -> str:
    """Return a value as people write it; of a whole record its fields that say something."""
    if field not in WHOLE_RECORD or not text:
        return names.get(text, text.removesuffix(".0") if _is_number(text) else text)
    try:
        values = json.loads(text)
    except ValueError:
        return text
    kept = [(name, value) for name, value in values.items() if value and not name.endswith("id")]
    return "; ".join(f"{name.replace('_', ' ')}: {_shown('', str(value), names)}" for name, value in kept)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _places(season: SeasonFacts, wanted: set[str]) -> dict[str, Place]:
    houses = {house.id: house.name for house in season.houses}
    of_bay = {bay.id: (houses.get(bay.house_id, ""), bay.name) for bay in season.bays}
    visits = {visit.id: (*of_bay.get(visit.bay_id, ("", "")), visit.visited_on) for visit in season.visits}
    plants = {plant.id: plant.label for plant in season.marked_plants}
    found: dict[str, Place] = {house.id: Place(house.name) for house in season.houses if house.id in wanted}
    found |= {key: Place(*where) for key, where in of_bay.items() if key in wanted}
    found |= {person.id: Place(what=person.name) for person in season.people if person.id in wanted}
    for key, place in visits.items():
        if key in wanted:
            found[key] = Place(place[0], place[1], place[2])
    seen: tuple[tuple[Sequence[Any], Any], ...] = (
        (season.readings, lambda one: _("plant {label}").format(label=plants.get(one.marked_plant_id, ""))),
        (season.pest_checks, lambda one: one.organism),
        (season.card_counts, lambda one: f"{one.organism} · {one.card}"),
        (season.weed_notes, lambda one: _("weeds")),
    )
    for rows, name in seen:
        for row in rows:
            if row.id in wanted:
                house, bay, day = visits.get(row.visit_id, ("", "", None))
                found[row.id] = Place(house, bay, day, name(row))
    return found | _places_besides(season, wanted, of_bay)


def _places_besides(
    season: SeasonFacts, wanted: set[str], of_bay: Mapping[str, tuple[str, str]]
) -> dict[str, Place]:
    """Return the places of what hangs off no visit: plantings, plants, picks, treatments."""
    found: dict[str, Place] = {}
    plantings = {one.id: one for one in season.plantings}
    for one in season.plantings:
        found[one.id] = Place(*of_bay.get(one.bay_id, ("", "")), None, one.variety or one.crop)
    for plant in season.marked_plants:
        if plant.id in wanted:
            planting = plantings.get(plant.planting_id)
            where = of_bay.get(planting.bay_id, ("", "")) if planting else ("", "")
            found[plant.id] = Place(*where, None, _("plant {label}").format(label=plant.label))
    for count in season.stand_counts:
        if count.id in wanted and (planting := plantings.get(count.planting_id)) is not None:
            where = of_bay.get(planting.bay_id, ("", ""))
            found[count.id] = Place(*where, count.counted_on, _("standing plants"))
    for pick in season.picks:
        if pick.id in wanted:
            found[pick.id] = Place(*of_bay.get(pick.bay_id, ("", "")), pick.picked_on, _("pick"))
    treatments = {one.id: one for one in season.treatments}
    for treatment in season.treatments:
        if treatment.id in wanted:
            day = local_day(treatment.ended_at)
            found[treatment.id] = Place("", "", day, _("treatment: {target}").format(target=treatment.target))
    for link in season.treatment_bays:
        if link.id in wanted and link.treatment_id in treatments:
            treatment = treatments[link.treatment_id]
            where = of_bay.get(link.bay_id, ("", ""))
            found[link.id] = Place(*where, local_day(treatment.ended_at), _("treatment: {target}").format(
                target=treatment.target))  # fmt: skip
    return found
