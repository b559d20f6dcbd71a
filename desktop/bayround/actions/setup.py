"""Set the farm up: people, houses, bays, plantings, marked plants. Doubtful values are asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from bayround import words
from bayround.actions.farm import OpenFarm
from bayround.crops.profile import CropProfile
from bayround.facts.farm import Bay, FarmInfo, House, MarkedPlant, Person, PlantChoice, Planting
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.figures.figure import Figure
from bayround.records import read_parts, write_setup
from bayround.week import setup_doubts, walk_plan
from bayround.words import _

SetUp = FarmInfo | Person | House | Bay | Planting | MarkedPlant | PlantChoice


def read(farm: OpenFarm) -> SeasonFacts:
    """Return the set-up of the farm (people, houses, bays, plantings, marked plants)."""
    return read_parts.read_setup(farm.store)


def add(farm: OpenFarm, *facts: SetUp) -> None:
    """Add set-up records, all or none.

    Raises:
        Refused: when a value is impossible or a name is used twice in the same place.
    """
    known = read(farm)
    for fact in facts:
        setup_doubts.refuse_impossible(fact, known)
    write_setup.add(farm.store, *facts)


def change(farm: OpenFarm, fact: SetUp, person_id: str | None, now: datetime, reason: str = "") -> None:
    """Change a set-up record; the earlier values are kept as corrections.

    Raises:
        Refused: when a value is impossible, or a crop would not have stood on the day of a visit or a pick.
    """
    setup_doubts.refuse_impossible(fact, read(farm))
    if isinstance(fact, Planting):
        _refuse_days_outside(farm, fact)
    write_setup.change(farm.store, fact, person_id, now, reason)


def place_houses(farm: OpenFarm, houses: Sequence[House], person_id: str | None, now: datetime) -> None:
    """Keep where houses stand on the map, all or none, and nothing else of them: others may change the rest."""
    places = {one.id: (one.map_east_m, one.map_north_m) for one in houses}
    write_setup.place_houses(farm.store, places, person_id, now)


def questions(farm: OpenFarm, bay: Bay, planting: Planting | None, house: House) -> tuple[str, ...]:
    """Return what looks doubtful about a house, bay and planting, as questions to the person."""
    profile = farm.crops.profile(planting.crop) if planting else None
    return setup_doubts.questions(house, bay, planting, profile)


def derived(bay: Bay, planting: Planting | None, on: date) -> dict[str, Figure]:
    """Return area, density and age of a bay as typed, before anything is saved."""
    return setup_doubts.derived(bay, planting, on)


def mark_plants(
    farm: OpenFarm, bay: Bay, planting: Planting, wanted: int, seed: int, on: date
) -> tuple[MarkedPlant, ...]:
    """Mark *wanted* plants spread over the rows from a random start and keep them.

    The same seed draws the same plants. Numbers go on from the highest in use.

    Raises:
        Refused: when the bay has fewer plants than wanted.
    """
    known = [plant for plant in read(farm).marked_plants if plant.planting_id == planting.id]
    standing = sum(1 for plant in known if plant.ended_on is None)
    if not 1 <= wanted <= planting.plants - standing:
        raise Refused(_("This planting has {n} plants.").format(n=planting.plants))
    taken = {(plant.row, plant.position) for plant in known if plant.ended_on is None}
    first = max((plant.number for plant in known), default=0) + 1
    places = walk_plan.places(bay, planting, wanted, seed, taken)
    drawn = tuple(
        MarkedPlant(new_id(), planting.id, first + step, row, position, marked_on=on)
        for step, (row, position) in enumerate(places)
    )
    choices = (PlantChoice(new_id(), plant.id, seed=seed) for plant in drawn)
    write_setup.add(farm.store, *drawn, *choices)
    return drawn


def end_planting(
    farm: OpenFarm, planting: Planting, removed_on: date, person_id: str | None, now: datetime
) -> None:
    """Note the day a crop was removed; its records stay.

    Raises:
        Refused: when the day lies before transplanting, or before a visit or a pick (on its day is right).
    """
    if removed_on <= planting.transplanted_on:
        raise Refused(_("A crop can't be removed before it was planted."))
    change(farm, replace(planting, removed_on=removed_on), person_id, now)


def _refuse_days_outside(farm: OpenFarm, planting: Planting) -> None:
    """Refuse days of planting and removal between which not every visit and pick of the crop lies."""
    first, last = planting.transplanted_on, planting.removed_on or date.max
    outside = [day for day in read_parts.read_days_used(farm.store, planting.id) if not first <= day <= last]
    if outside:
        raise Refused(
            _("This crop was visited or picked on {day}: it stood then.").format(day=words.day(outside[-1])),
            _("Nothing was changed."),
            _("Look at the days of planting and removal again, or put the visit or pick right first."),
        )


def bay_named(known: SeasonFacts, text: str, on: date) -> Bay:
    """Return the bay in use that a person means: ``House · Bay``, ``House Bay`` or, where only one has it, its name.

    Raises:
        Refused: when no bay or more than one is called so.
    """
    houses = {house.id: house.name for house in known.houses}
    wanted = " ".join(text.replace("·", " ").casefold().split())
    full = {bay.id: f"{houses[bay.house_id]} · {bay.name}" for bay in known.bays}
    in_use = [bay for bay in known.bays if bay.retired_on is None or bay.retired_on > on]
    found = [bay for bay in in_use if " ".join(full[bay.id].replace("·", " ").casefold().split()) == wanted]
    found = found or [bay for bay in in_use if bay.name.casefold() == wanted]
    if len(found) == 1:
        return found[0]
    if found:
        several = ", ".join(full[bay.id] for bay in found)
        raise Refused(
            _("“{text}” may be any of: {bays}.").format(text=text, bays=several),
            _("Nothing was written down."),
            _("Write the house before it."),
        )
    raise Refused(
        _("No bay is called “{text}”.").format(text=text),
        _("Nothing was written down."),
        _("Bays in use: {bays}.").format(bays=", ".join(full[bay.id] for bay in in_use) or _("none")),
    )


def person_named(known: SeasonFacts, text: str) -> Person:
    """Return the person of a name.

    Raises:
        Refused: when there is none.
    """
    found = next(
        (person for person in known.people if person.name.casefold() == text.strip().casefold()), None
    )
    if found is None:
        names = ", ".join(person.name for person in known.people if person.active)
        raise Refused(
            _("Nobody here is called “{text}”.").format(text=text),
            _("Nothing was written down."),
            _("People: {names}.").format(names=names or _("none")),
        )
    return found


def profile_of(farm: OpenFarm, crop: str) -> CropProfile:
    """Return a crop's profile with the farm's own numbers."""
    return farm.crops.profile(crop)
