"""Names as people type them, found again in the farm: houses, bays, people, organisms."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TypeVar

from bayround.crops import Crops
from bayround.facts.farm import Bay, House, Person
from bayround.facts.season import SeasonFacts
from bayround.paper.imports.grid import Fault, Value
from bayround.words import _

Item = TypeVar("Item")


def plain(value: Value) -> str:
    """Return a name as it is compared: small letters, single spaces; a number without its decimals."""
    if value is None or isinstance(value, Fault | date | datetime):
        return ""
    if isinstance(value, float) and value == round(value):
        value = str(round(value))
    return re.sub(r"[\s·/|,_-]+", " ", str(value)).strip().casefold()


@dataclass(frozen=True, slots=True)
class Places:
    """The houses and bays of a farm, to be found by name."""

    houses: dict[str, House]
    bays: tuple[tuple[str, str, Bay], ...]
    _houses_found: dict[str, House | None] = field(default_factory=dict)
    _found: dict[tuple[str, str], tuple[Bay | None, str]] = field(default_factory=dict)

    def house(self, name: Value) -> House | None:
        """Return the house of a name, or of the number that ends it, if there is exactly one."""
        asked = str(name)
        if asked not in self._houses_found:
            self._houses_found[asked] = self._look_for_house(name)
        return self._houses_found[asked]

    def _look_for_house(self, name: Value) -> House | None:
        wanted, named = plain(name), [(plain(house.name), house) for house in self.houses.values()]
        return _only([house for own, house in named if own == wanted]) or _only(
            [house for own, house in named if wanted and _last_number(own) == wanted]
        )

    def bay(self, house: Value, name: Value) -> tuple[Bay | None, str]:
        """Return the bay of a name (alone, after its house, or its number), or none and why."""
        if isinstance(name, date):
            return None, _("a spreadsheet took the name of the bay for a date")
        asked = (str(house), str(name))
        if asked not in self._found:
            self._found[asked] = self._look_for(house, name)
        return self._found[asked]

    def _look_for(self, house: Value, name: Value) -> tuple[Bay | None, str]:
        wanted, inside = plain(name), plain(house)
        if not wanted:
            return None, _("no bay")
        here = [one for one in self.bays if not inside or inside in (one[0], _last_number(one[0]))]
        if inside and not here:
            return None, _("no house is called “{name}”").format(name=house)
        ways = (
            [bay for of, own, bay in here if wanted in (own, f"{of} {own}")],
            [bay for _of, own, bay in here if wanted == _last_number(own)],
        )
        for found in ways:
            if len(found) == 1:
                return found[0], ""
            if found:
                return None, _("several bays are called “{name}”; the house has to stand there too").format(
                    name=name
                )
        return None, _("no bay is called “{name}”").format(name=name)


def places_of(known: SeasonFacts) -> Places:
    """Return the places of a farm."""
    houses = {house.id: house for house in known.houses}
    bays = ((plain(houses[bay.house_id].name), plain(bay.name), bay) for bay in known.bays)
    return Places(houses, tuple(bays))


def _last_number(name: str) -> str:
    found = re.search(r"[0-9]+$", name)
    return found[0].lstrip("0") if found else ""


def person(people: Iterable[Person], name: Value) -> Person | None:
    """Return the person of a name, if there is exactly one; who still works here goes first."""
    found = [one for one in people if plain(one.name) == plain(name)]
    return _only([one for one in found if one.active]) or _only(found)


def organism(crops: Crops, name: Value) -> str | None:
    """Return the key of the organism of a name."""
    wanted = plain(name)
    for key, one in crops.organisms.items():
        if wanted in (plain(key), plain(_(one.name)), plain(one.name)):
            return key
    return None


def _only(found: list[Item]) -> Item | None:
    return found[0] if len(found) == 1 else None
