"""Weeks for the tests of paper: a farm of any size, made by hand, built into a snapshot by the program."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta

from bayround.crops import Crops, load_crops
from bayround.facts.farm import Bay, FarmInfo, House, HouseKind, MarkedPlant, Person, Planting
from bayround.facts.rounds import CardCount, PestCheck, Reading, Round, Visit, VisitState, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import Treatment, TreatmentBay
from bayround.week import build
from bayround.week.snapshot import WeekSnapshot

WEEK = Week(2026, 47)
CROPS = load_crops()
Namer = Callable[[str, int], str]


def plain(what: str, number: int) -> str:
    """Name things house 1, bay 2, and so on; notes are empty."""
    return "" if what in {"note", "where", "species"} else f"{what.capitalize()} {number}"


@dataclass
class _Making:
    name: Namer
    used: int = 0
    people: list[Person] = field(default_factory=list)
    rows: dict[str, list[object]] = field(default_factory=dict)

    def key(self) -> str:
        self.used += 1
        return f"01900000-0000-7000-8000-{self.used:012d}"

    def add(self, kind: str, row: object) -> None:
        self.rows.setdefault(kind, []).append(row)


def season(
    houses: int = 2,
    bays: int = 3,
    plants: int = 5,
    weeks: int = 2,
    *,
    name: Namer = plain,
    skip_bay: int = -1,
) -> SeasonFacts:
    """Return the facts of a farm with *houses* × *bays*, walked in the last *weeks* weeks up to `WEEK`.

    Bay number *skip_bay* was left out this week. Numbers rise with bay, plant and week, so every bay differs.
    """
    making = _Making(name)
    scout = Person(making.key(), name("scout", 1))
    number = 0
    rounds = [
        Round(making.key(), WEEK.monday + timedelta(days=1, weeks=-step), scout.id)
        for step in reversed(range(weeks))
    ]
    for house_number in range(1, houses + 1):
        house = House(
            making.key(),
            name("house", house_number),
            HouseKind.NET_HOUSE,
            40.0 * bays,
            10.0,
            3.0,
            position=house_number,
        )
        making.add("houses", house)
        for bay_number in range(1, bays + 1):
            number += 1
            bay = Bay(making.key(), house.id, name("bay", bay_number), 10, 40.0, 10.0, position=bay_number)
            making.add("bays", bay)
            left_out = {rounds[-1].id} if number == skip_bay and rounds else set()
            _planted(making, bay, number, plants, [one for one in rounds if one.id not in left_out])
    rows = {kind: tuple(found) for kind, found in making.rows.items()}
    farm = FarmInfo(making.key(), name("farm", 1), invented=True, revision=7)
    return SeasonFacts(farm=farm, people=(scout,), rounds=tuple(rounds), **rows)  # type: ignore[arg-type]


def _planted(making: _Making, bay: Bay, number: int, plants: int, rounds: list[Round]) -> None:
    planting = Planting(
        making.key(), bay.id, "sweet_pepper", making.name("variety", number), date(2026, 8, 4), 2300
    )
    making.add("plantings", planting)
    marked = [
        MarkedPlant(making.key(), planting.id, place, place, 5, marked_on=planting.transplanted_on)
        for place in range(1, plants + 1)
    ]
    for plant in marked:
        making.add("marked_plants", plant)
    for step, walked in enumerate(rounds):
        visit = Visit(
            making.key(),
            walked.id,
            bay.id,
            planting.id,
            walked.held_on,
            walked.scout_id,
            VisitState.DONE,
            note=making.name("note", number),
        )
        making.add("visits", visit)
        for place, plant in enumerate(marked):
            making.add("readings", _reading(making, visit, plant, number, place, step))
        _looked_over(making, visit, number)
    if number % 3 == 1:
        _treated(making, bay, number)


def _reading(
    making: _Making, visit: Visit, plant: MarkedPlant, number: int, place: int, step: int
) -> Reading:
    return Reading(
        making.key(),
        visit.id,
        plant.id,
        height_cm=90.25 + 7.3 * step + 0.7 * number + 1.1 * place,
        last_tie_cm=82.0 + 7.3 * step + 0.7 * number - 4 * (number % 5),
        flowers=float((place + number) % 4),
        fruit_set=float((place + step) % 3),
        fruit_green=float((place * 2 + number) % 6),
        fruit_turning=float(place % 2),
        fruit_coloured=float(number % 4 == 0 and place < 3),
        note=making.name("note", number) if place == 0 else "",
    )


def _looked_over(making: _Making, visit: Visit, number: int) -> None:
    making.add(
        "pest_checks", PestCheck(making.key(), visit.id, "thrips", "flower", 20, int(number % 5 == 2), 3)
    )
    check = PestCheck(making.key(), visit.id, "aphids", "leaf", 30, 0, where=making.name("where", number))
    making.add("pest_checks", check)
    making.add(
        "card_counts", CardCount(making.key(), visit.id, f"C{number}", "whiteflies", number, 7.0, 100.0)
    )
    species, where = making.name("species", number), making.name("where", number)
    making.add(
        "weed_notes",
        WeedNote(making.key(), visit.id, float(number * 3 % 14), number % 5 == 0, species, where),
    )


def _treated(making: _Making, bay: Bay, number: int) -> None:
    treatment = Treatment(
        making.key(),
        datetime(2026, 11, 16, 8, 30, tzinfo=UTC),
        "aphids",
        making.name("ingredient", number),
        re_entry_hours=12.0 if number % 2 else None,
        pre_harvest_days=3.0,
        note=making.name("note", number),
    )
    making.add("treatments", treatment)
    making.add("treatment_bays", TreatmentBay(making.key(), treatment.id, bay.id))


def snapshot(
    facts: SeasonFacts | None = None, crops: Crops = CROPS, today: date | None = None
) -> WeekSnapshot:
    """Return the week `WEEK` of a farm as the program builds it."""
    return build.build(facts or season(), crops, WEEK, today or WEEK.sunday)


def without_visits() -> WeekSnapshot:
    """Return the week of a farm that is set up and was never walked."""
    return snapshot(replace(season(weeks=0), rounds=()))
