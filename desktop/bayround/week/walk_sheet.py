"""What a scout takes along: the bays of a walk in order, the plants to visit, last values, what to look for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bayround.crops import Crops
from bayround.crops.profile import ReadingField
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.farm import Bay, FarmInfo, House, MarkedPlant, Planting
from bayround.facts.rounds import Reading, Round
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.figures.stop_words import stop_words
from bayround.jobs import house_fault, intervals
from bayround.week import chosen
from bayround.words import _


@dataclass(frozen=True, slots=True)
class PlantToVisit:
    """One marked plant and what was read on it last."""

    plant: MarkedPlant
    last: Reading | None


@dataclass(frozen=True, slots=True)
class PestToLookFor:
    """One organism: the part to look at, on how many at most (0: no rule), when to stop in words."""

    key: str
    name: str
    part: str
    at_most: int
    stop: str
    counting: bool


@dataclass(frozen=True, slots=True)
class BayToWalk:
    """One bay of the walk. *cautions* say what keeps people out, as far as it was typed.

    *seeds*: those its plants were drawn with; *aside*: plants chosen for what was seen on them, part of no mean.
    """

    house: House
    bay: Bay
    planting: Planting
    crop_name: str
    fields: tuple[ReadingField, ...]
    plants: tuple[PlantToVisit, ...]
    pests: tuple[PestToLookFor, ...]
    last_visit_on: date | None
    last_weed_percent: float | None
    cautions: tuple[str, ...]
    seeds: tuple[int, ...] = ()
    aside: frozenset[str] = frozenset()

    @property
    def name(self) -> str:
        """House and bay in one."""
        return f"{self.house.name} · {self.bay.name}"


@dataclass(frozen=True, slots=True)
class WalkSheet:
    """One round of one scout; *scout* and *held_on* are missing where the round is still to be begun."""

    farm: FarmInfo
    week: Week
    scout: str
    scout_id: str
    held_on: date | None
    bays: tuple[BayToWalk, ...]


def build(
    season: SeasonFacts, crops: Crops, week: Week, today: date, scout_id: str = ""
) -> tuple[WalkSheet, ...]:
    """Return a sheet for every round of *week*, or one with the scout's name (if given) when none was begun.

    With several rounds a bay stands on the sheet of the round that visited it, else on the last one's.
    The values are those of before the week; cautions are those of *today*, or of the week's first day if later.
    """
    people = {person.id: person.name for person in season.people}
    rounds = sorted(
        (one for one in season.rounds if Week.of(one.held_on) == week), key=lambda one: (one.held_on, one.id)
    )
    before = {past.bay.id: past for past in gather(season, week.monday - timedelta(days=1))}
    until = max(week.monday, min(today, week.sunday))
    bays = [
        (past.bay.id, _bay(past, before.get(past.bay.id), crops, until))
        for past in gather(season, until)
        if past.planting is not None
    ]
    if not rounds:
        every = tuple(bay for _id, bay in bays)
        return (WalkSheet(season.farm, week, people.get(scout_id, ""), scout_id, None, every),)
    walker = _round_of_bay(season, rounds)
    return tuple(
        WalkSheet(
            season.farm,
            week,
            people.get(one.scout_id, ""),
            one.scout_id,
            one.held_on,
            tuple(bay for bay_id, bay in bays if walker.get(bay_id, rounds[-1].id) == one.id),
        )
        for one in rounds
    )


def _round_of_bay(season: SeasonFacts, rounds: list[Round]) -> Mapping[str, str]:
    ids = {one.id for one in rounds}
    return {visit.bay_id: visit.round_id for visit in season.visits if visit.round_id in ids}


def _bay(past: BayPast, before: BayPast | None, crops: Crops, on: date) -> BayToWalk:
    assert past.planting is not None
    profile = crops.profile(past.planting.crop)
    known = before if before is not None and before.planting == past.planting else None
    last: dict[str, Reading] = {}
    for record in known.visits if known else ():
        last.update(record.readings)
    newest = known.latest if known else None
    pests = []
    for key in profile.organisms:
        organism = crops.organisms[key]
        stop, at_most = stop_words(organism, profile.key)
        pests.append(
            PestToLookFor(key, _(organism.name), organism.default_inspect, at_most, stop, organism.counting)
        )
    return BayToWalk(
        house=past.house,
        bay=past.bay,
        planting=past.planting,
        crop_name=_(profile.name),
        fields=profile.fields,
        plants=tuple(PlantToVisit(plant, last.get(plant.id)) for plant in past.plants_on(on)),
        pests=tuple(pests),
        last_visit_on=newest.day if newest else None,
        seeds=chosen.seeds_of(past.choices),
        aside=past.aside,
        last_weed_percent=max((note.cover_percent for note in newest.weeds), default=None)
        if newest
        else None,
        cautions=intervals.what_blocks(JobKind.ROUND, past.treatments, on)
        + house_fault.blocks(JobKind.ROUND, past.house_checks),
    )
