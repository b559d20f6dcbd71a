"""A short look at the parts of a house; a fault makes a job and keeps people out until somebody competent has looked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.facts.farm import House
from bayround.facts.ids import new_id
from bayround.facts.kept import HOUSE_PARTS, Condition, HouseCheck
from bayround.facts.problems import Refused
from bayround.jobs import house_fault
from bayround.records import read_work, write_setup
from bayround.words import _

CAUTION = house_fault.CAUTION
LOOK_FOR = {
    "cover": "tears, loose or flapping cover, fastenings",
    "posts": "leaning, cracked, rotten or lifted posts and footings",
    "wires": "slack, frayed or slipping crop wires, anchors, end posts",
    "standing water": "water in paths, on the cover, at the doors",
    "storm readiness": "vents and doors that close, loose things tied down, gutters clear",
}
"""What to look for, part by part: common practice, no source."""


@dataclass(frozen=True, slots=True)
class HouseState:
    """A house with the newest look at each part, and its cautions."""

    house: House
    newest: Mapping[str, HouseCheck]
    faults: tuple[HouseCheck, ...]

    def told(self, part: str) -> str:
        """Return in words what the newest look at a part found."""
        check = self.newest.get(part)
        if check is None:
            return _("never looked at")
        note = f": {check.note}" if check.note else ""
        return f"{words.day(check.checked_on)} {_(check.condition.value)}{note}"


def read(farm: OpenFarm, bay_or_house_id: str = "") -> tuple[HouseState, ...]:
    """Return all houses in order with their newest looks; the one asked for (by its id or a bay's) first."""
    season = read_work.read_house_checks(farm.store)
    of_bay = {bay.id: bay.house_id for bay in season.bays}
    wanted = of_bay.get(bay_or_house_id, bay_or_house_id)
    houses = sorted(season.houses, key=lambda one: (one.id != wanted, one.position, one.name, one.id))
    found = []
    for house in houses:
        checks = sorted(
            (one for one in season.house_checks if one.house_id == house.id),
            key=lambda one: (one.checked_on, one.id),
        )
        newest = {one.part: one for one in checks if one.condition is not Condition.NOT_LOOKED_AT}
        found.append(HouseState(house, newest, house_fault.standing(checks)))
    return tuple(found)


def record(
    farm: OpenFarm, house_id: str, looks: Mapping[str, tuple[Condition, str]], on: date, moment: Moment
) -> tuple[HouseCheck, ...]:
    """Keep a check: part → (condition, note). Parts that were not looked at are left out.

    Raises:
        Refused: when nothing was looked at, a fault has no note, a part is unknown or the day is to come.
    """
    seen = {part: look for part, look in looks.items() if look[0] is not Condition.NOT_LOOKED_AT}
    if not seen:
        raise Refused(
            _("Nothing was looked at."), to_do=_("Say for each part what you found: good or fault.")
        )
    if unknown := set(seen) - set(HOUSE_PARTS):
        raise Refused(_("“{part}” is no part of a house that is checked.").format(part=min(unknown)))
    if on > moment.today:
        raise Refused(_("{day} is still to come.").format(day=words.day(on)))
    for part, (condition, note) in seen.items():
        if condition is Condition.FAULT and not note.strip():
            raise Refused(
                _("The fault in “{part}” needs a few words.").format(part=_(part)),
                _("Nothing was kept."),
                _("Say what is wrong and where, so that whoever looks at it finds it."),
            )
    made = tuple(
        HouseCheck(new_id(), house_id, on, part, condition, moment.person_id, note.strip())
        for part, (condition, note) in seen.items()
    )
    write_setup.add(farm.store, *made)
    return made
