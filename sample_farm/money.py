"""Prices, wage and costs of the invented farm, in its own currency. All invented; they are nobody's books."""

from __future__ import annotations

from datetime import date

from bayround.facts.money import Cost, CostKind, Price, WageRate

from .chance import fact_id
from .scenario import Scenario
from .set_up import SetUp

BEFORE, SEASON = date(2026, 6, 1), date(2026, 10, 1)

# crop, grade, colour, cents per kg from June, cents per kg from October
PRICES = (
    ("sweet_pepper", "first", "red", 148, 172),
    ("sweet_pepper", "first", "yellow", 155, 180),
    ("sweet_pepper", "first", "orange", 160, 178),
    ("sweet_pepper", "first", "green", 96, 104),
    ("sweet_pepper", "second", "", 70, 82),
    ("tomato", "first", "", 110, 132),
    ("tomato", "second", "", 62, 70),
    ("cucumber", "first", "", 78, 90),
    ("cucumber", "second", "", 40, 46),
)
WAGES = ((BEFORE, 980), (SEASON, 1020))

PLANT_CENTS = {"sweet_pepper": 31, "tomato": 42, "cucumber": 38}
"""A young plant."""

STRING_CENTS_PER_STEM = 4

# house, kind, what, euros, day, years
SPREAD = (
    ("North net house", CostKind.COVER, "Insect net", 1150, date(2025, 5, 12), 5.0),
    ("North net house", CostKind.STRUCTURE, "Posts and wires", 3600, date(2025, 5, 12), 15.0),
    ("South net house", CostKind.COVER, "Insect net", 6600, date(2024, 5, 20), 5.0),
    ("South net house", CostKind.STRUCTURE, "Posts and wires", 21000, date(2024, 5, 20), 15.0),
    ("Greenhouse", CostKind.COVER, "Plastic film", 2700, date(2025, 9, 1), 3.0),
    ("Greenhouse", CostKind.STRUCTURE, "Steel frame", 26400, date(2019, 3, 1), 20.0),
    ("Tunnel", CostKind.COVER, "Plastic film", 620, date(2026, 3, 16), 2.0),
    ("Tunnel", CostKind.STRUCTURE, "Hoops", 3200, date(2022, 3, 1), 12.0),
)
# what, kind, euros, day: for the whole farm
FARM_WIDE = (
    ("Fertiliser and water", CostKind.MATERIALS, 1850, date(2026, 8, 3)),
    ("Fertiliser and water", CostKind.MATERIALS, 1420, date(2026, 10, 5)),
    ("Crates", CostKind.MATERIALS, 640, date(2026, 8, 17)),
    ("Picking crew, July to November", CostKind.LABOUR, 6900, date(2026, 11, 13)),
    ("Beneficial insects and sprays", CostKind.TREATMENTS, 880, date(2026, 9, 14)),
)


def prices(seed: int) -> tuple[Price, ...]:
    """Return what a kilogram fetched, from June and from October on."""
    found = []
    for crop, grade, colour, early, late in PRICES:
        for day, cents in ((BEFORE, early), (SEASON, late)):
            key = fact_id(seed, day, "price", crop, grade, colour)
            found.append(Price(key, day, crop, cents, grade, colour))
    return tuple(found)


def wages(seed: int) -> tuple[WageRate, ...]:
    """Return what an hour of work costs."""
    return tuple(WageRate(fact_id(seed, day, "wage"), day, cents) for day, cents in WAGES)


def costs(scenario: Scenario, seed: int, set_up: SetUp) -> tuple[Cost, ...]:
    """Return plants and strings bay by bay, covers and structures house by house, the rest for the farm."""
    found = []
    for bay in scenario.bays:
        day, bay_id = bay.transplanted_on, set_up.bays[bay.name].id
        for what, cents in (
            ("Young plants", bay.plants * PLANT_CENTS[bay.crop]),
            ("Strings", bay.plants * bay.stems_per_plant * STRING_CENTS_PER_STEM),
        ):
            key = fact_id(seed, day, "cost", bay.name, what)
            found.append(Cost(key, day, CostKind.MATERIALS, what, cents, bay_id=bay_id))
    for house, kind, what, euros, day, years in SPREAD:
        key = fact_id(seed, day, "cost", house, what)
        house_id = set_up.houses[house].id
        found.append(Cost(key, day, kind, what, euros * 100, house_id=house_id, life_years=years))
    for what, kind, euros, day in FARM_WIDE:
        found.append(Cost(fact_id(seed, day, "cost", "farm", what), day, kind, what, euros * 100))
    return tuple(found)
