"""What to set up next, in the order in which a farm comes to life."""

from __future__ import annotations

from enum import StrEnum

from bayround.facts.season import SeasonFacts
from bayround.words import _


class Step(StrEnum):
    """The five steps of setting a farm up."""

    PERSON = "person"
    HOUSE = "house"
    BAY = "bay"
    PLANTING = "planting"
    PLANTS = "plants"


STEPS = tuple(Step)


def text_of(step: Step) -> str:
    """Return what a person is asked to do at a step."""
    return {
        Step.PERSON: _("Add a person: who walks the bays?"),
        Step.HOUSE: _("Add a house: net house, greenhouse, tunnel or open bed"),
        Step.BAY: _("Add a bay to it: rows, length, width"),
        Step.PLANTING: _("Enter the crop that stands in the bay"),
        Step.PLANTS: _("Mark the plants to measure each week"),
    }[step]


def next_step(known: SeasonFacts) -> Step | None:
    """Return the first step that is not done for every bay, or nothing when the farm is ready for a round."""
    if not known.people:
        return Step.PERSON
    if not known.houses:
        return Step.HOUSE
    if not known.bays:
        return Step.BAY
    if not known.plantings:
        return Step.PLANTING
    if not known.marked_plants:
        return Step.PLANTS
    return None


def steps_text(known: SeasonFacts) -> str:
    """Return the five steps as lines, those done with a tick."""
    due = next_step(known)
    reached = STEPS.index(due) if due else len(STEPS)
    lines = []
    for number, step in enumerate(STEPS, start=1):
        sign = "✓" if number <= reached else f"{number}"
        lines.append(f"{sign}   {text_of(step)}")
    return "\n".join(lines)
