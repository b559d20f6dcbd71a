"""Set-up values that can't be right are refused; those that look wrong become questions."""

from __future__ import annotations

from datetime import date

from bayround import words
from bayround.crops.profile import CropProfile
from bayround.facts.farm import Bay, FarmInfo, House, MarkedPlant, Person, PlantChoice, Planting
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.figures import stand
from bayround.figures.figure import Figure
from bayround.words import _

SetUp = FarmInfo | Person | House | Bay | Planting | MarkedPlant | PlantChoice


def derived(bay: Bay, planting: Planting | None, on: date) -> dict[str, Figure]:
    """Return area, density and age of a bay as typed."""
    return stand.density(bay, planting) | stand.age(planting, on)


def questions(
    house: House, bay: Bay, planting: Planting | None, profile: CropProfile | None
) -> tuple[str, ...]:
    """Return doubts as questions to the person who typed the values."""
    asked = []
    if bay.area_m2 > house.length_m * house.width_m * 1.001:
        asked.append(
            _("The bay has {bay} m² but its house only {house} m²: which one is right?").format(
                bay=words.number(bay.area_m2, 0), house=words.number(house.length_m * house.width_m, 0)
            )
        )
    if planting is not None and profile is not None:
        asked += _density_questions(bay, planting, profile)
    return tuple(asked)


def _density_questions(bay: Bay, planting: Planting, profile: CropProfile) -> list[str]:
    asked = []
    figures = stand.density(bay, planting)
    for figure_id, unit in (("plants_per_m2", _("plants")), ("stems_per_m2", _("stems"))):
        figure = figures[figure_id]
        low, high = profile.number(f"{figure_id}_low").value, profile.number(f"{figure_id}_high").value
        if figure.value is None or low <= figure.value <= high:
            continue
        text = (
            _("{value} {unit}/m² is dense for {crop}: is the bay really {area} m²?")
            if figure.value > high
            else _("{value} {unit}/m² is thin for {crop}: is the bay really {area} m²?")
        )
        area = words.number(bay.area_m2, 0)
        asked.append(text.format(value=figure.text, unit=unit, crop=_(profile.name).lower(), area=area))
    return asked


def refuse_impossible(fact: SetUp, known: SeasonFacts) -> None:
    """Refuse a set-up record that can't be right.

    Raises:
        Refused: with words that say which value and why.
    """
    if isinstance(fact, Person | House | Bay | FarmInfo) and not fact.name.strip():
        raise Refused(_("A name is needed."))
    if isinstance(fact, House):
        _positive(
            (_("Length"), fact.length_m),
            (_("Width"), fact.width_m),
            (_("Height of the top wire"), fact.wire_height_m),
        )
        _unused(fact.name, [item.name for item in known.houses if item.id != fact.id])
    elif isinstance(fact, Bay):
        _positive((_("Length"), fact.length_m), (_("Width"), fact.width_m), (_("Rows"), fact.rows))
        same_house = [
            item.name for item in known.bays if item.house_id == fact.house_id and item.id != fact.id
        ]
        _unused(fact.name, same_house)
    elif isinstance(fact, Person):
        _unused(fact.name, [item.name for item in known.people if item.id != fact.id])
    elif isinstance(fact, Planting):
        _positive((_("Plants"), fact.plants), (_("Stems per plant"), fact.stems_per_plant))
        _refuse_overlap(fact, known)
        _refuse_fewer_than_marked(fact, known)
    elif isinstance(fact, MarkedPlant):
        _positive((_("Row"), fact.row), (_("Position"), fact.position))


def _positive(*named: tuple[str, float | None]) -> None:
    for name, value in named:
        if value is not None and not 0 < value < 1_000_000:
            raise Refused(_("{name} must be more than 0.").format(name=name))


def _unused(name: str, others: list[str]) -> None:
    if name.strip().casefold() in {other.strip().casefold() for other in others}:
        raise Refused(_("The name “{name}” is in use already.").format(name=name))


def _refuse_fewer_than_marked(fact: Planting, known: SeasonFacts) -> None:
    marked = sum(
        1 for plant in known.marked_plants if plant.planting_id == fact.id and plant.ended_on is None
    )
    if fact.plants < marked:
        raise Refused(
            _("{marked} plants are marked in this planting; it can't have only {n}.").format(
                marked=marked, n=fact.plants
            ),
            _("Nothing was changed."),
            _("Count again, or end the marked plants that are gone first."),
        )


def _refuse_overlap(fact: Planting, known: SeasonFacts) -> None:
    for other in known.plantings:
        if other.bay_id != fact.bay_id or other.id == fact.id:
            continue
        starts_before_end = fact.removed_on is None or other.transplanted_on < fact.removed_on
        ends_after_start = other.removed_on is None or fact.transplanted_on < other.removed_on
        if starts_before_end and ends_after_start:
            raise Refused(
                _("Another crop stands in this bay at that time."),
                to_do=_("Enter the day it was removed first."),
            )
