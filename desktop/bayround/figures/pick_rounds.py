"""The rounds of a planting as the pick forecast needs them: fruit by stage, how long ago, what was picked between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import chain, pairwise
from operator import attrgetter
from typing import Any

from bayround.agronomy.ripening_time import FruitStage
from bayround.agronomy.stage_ages import EarlierCount, StageAges, stage_ages
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.rounds import FRUIT_FIELDS, PlantState
from bayround.figures import heat
from bayround.figures.pick_clock import PickClock

SAME_PLANTS_SHARE = 2 / 3
"""An earlier round counts where at least this share of today's plants was counted at it (own rule)."""

_row = attrgetter("flowers", *FRUIT_FIELDS)
PLACES = range(1, 1 + len(FRUIT_FIELDS))
ONE_DAY = timedelta(days=1)
ROUNDS_LOOKED_BACK = 13
"""A quarter of a year: fruit of longer ago say little about those of today (own rule)."""
Rows = dict[str, Sequence[float]]
"""Marked plant → fruit by stage, youngest first, up to the stage at which the planting is picked."""


@dataclass(frozen=True, slots=True)
class CountedRound:
    """One visit at which fruit were counted by stage; only whole rows are in it."""

    day: date
    rows: Rows


def rows_of(record: VisitRecord, stages: int) -> Rows:
    """Return marked plant → fruit by stage, for the plants on which every stage counted at this visit was counted.

    Fruit beyond the last of so many *stages* count as ready; a stage nobody counted makes no row whole.
    """
    taken: dict[str, Sequence[Any]] = {
        plant: _row(reading)
        for plant, reading in record.readings.items()
        if reading.state is PlantState.STANDING and plant not in record.aside
    }
    last = stages - 1
    if last + 1 == len(PLACES) and None not in chain.from_iterable(taken.values()):
        return taken  # as nearly always: every stage counted, and none beyond the last
    if None not in chain.from_iterable(taken.values()):
        return {plant: [*row[:last], sum(row[last:])] for plant, row in taken.items()}
    needed = [
        place for place in PLACES if place < stages or any(row[place] is not None for row in taken.values())
    ]
    found: Rows = {}
    for plant, row in taken.items():
        if all(row[place] is not None for place in needed):
            whole = [number or 0.0 for number in row]
            found[plant] = [*whole[:last], sum(whole[last:])]
    return found


def rounds_of(past: BayPast, stages: int) -> list[CountedRound]:
    """Return the newest visits at which fruit were counted by stage, newest first; of a day the newest."""
    found: list[CountedRound] = []
    for record in reversed(past.visits):
        if found and record.day == found[-1].day:
            continue
        rows = rows_of(record, stages)
        if rows:
            found.append(CountedRound(record.day, rows))
            if len(found) == ROUNDS_LOOKED_BACK:
                break
    return found


@dataclass(frozen=True, slots=True)
class PickPast:
    """A planting's rounds, newest first, what they are apart, and what was picked between them.

    *ago*: units of the clock before the newest; *picked*: fruit per plant picked since the next older round;
    *picks_known*: picks are written down, or nothing was ripe yet.
    """

    rounds: tuple[CountedRound, ...]
    ago: tuple[float, ...]
    picked: tuple[float, ...]
    picks_known: bool


def pick_past(past: BayPast, profile: CropProfile, stages: int, clock: PickClock) -> PickPast:
    """Return the rounds of a planting at which fruit were counted, with the clock and the picks between them."""
    rounds = tuple(rounds_of(past, stages))
    if not rounds:
        return PickPast((), (), (), picks_known=False)
    days = [one.day for one in rounds]
    ripe = any(row[-1] for one in rounds for row in one.rows.values())
    return PickPast(
        rounds, _ago(past, profile, clock, days), _picked(past, profile, days), bool(past.picks) or not ripe
    )


def _ago(past: BayPast, profile: CropProfile, clock: PickClock, days: list[date]) -> tuple[float, ...]:
    """Return days before the newest of the days, or the degree-days (days without temperatures: the mean of others)."""
    if not clock.in_heat:
        return tuple(float((days[0] - day).days) for day in days)
    kept = heat.heat_by_day(past, profile, days[-1], days[0])
    found = [0.0]
    for newer, older in pairwise(days):
        apart = (newer - older).days
        warm = [kept[day] for step in range(apart) if (day := older + step * ONE_DAY) in kept]
        per_day = clock.per_day
        if len(warm) >= heat.FEWEST_KEPT_SHARE * apart and sum(warm) > 0:
            per_day = sum(warm) / len(warm)
        found.append(found[-1] + apart * per_day)
    return tuple(found)


def _picked(past: BayPast, profile: CropProfile, days: list[date]) -> tuple[float, ...]:
    """Return fruit picked per plant from the next older day up to before each day; of the oldest 0.

    A round counts before the picks of its own day. Kilograms without a count of fruit: ÷ the weight of a fruit.
    """
    found = [0.0] * len(days)
    if past.planting is None:
        return tuple(found)
    fruit_kg = profile.number("fruit_weight_g").value / 1000
    place = 0
    for pick in reversed(past.picks):
        if pick.picked_on >= days[0]:
            continue
        while place + 1 < len(days) and pick.picked_on < days[place + 1]:
            place += 1
        if place + 1 == len(days):
            break
        found[place] += (pick.kg / fruit_kg if pick.fruit is None else pick.fruit) / past.standing_on(
            pick.picked_on
        )
    return tuple(found)


def ages_of(seen: PickPast, stages: tuple[FruitStage, ...]) -> tuple[StageAges, ...] | None:
    """Return when the fruit of each stage came into it, from the rounds of the same plants before the newest.

    Nothing where there is no round before, or where picks in between are not known.
    """
    if len(seen.rounds) < 2 or not seen.picks_known:
        return None
    longest = max(stage.duration for stage in stages)
    newest = seen.rounds[0]
    same = set(newest.rows)
    kept = [0]
    for place in range(1, len(seen.rounds)):
        common = same & seen.rounds[place].rows.keys()
        if len(common) < max(2, SAME_PLANTS_SHARE * len(newest.rows)):
            continue
        same = common
        kept.append(place)
        if seen.ago[place] >= longest:
            break
    return None if len(kept) < 2 else stage_ages(_earlier_counts(seen, kept, same), stages)


def _earlier_counts(seen: PickPast, kept: list[int], same: set[str]) -> list[EarlierCount]:
    counts = []
    for place, older in zip(kept, [*kept[1:], kept[-1]], strict=True):
        rows = seen.rounds[place].rows
        columns = zip(*[rows[plant] for plant in same], strict=True)
        picked = sum(seen.picked[place:older]) * len(same)
        counts.append(EarlierCount(seen.ago[place], list(map(sum, columns)), picked))
    return counts
