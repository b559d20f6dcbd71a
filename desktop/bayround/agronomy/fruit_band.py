"""Does the crop carry too much, too little, or unevenly? And how much to take off.

No published number of fruit to carry was found for sweet pepper, so the band is always given: from the
crop profile, or proposed from the farm's own good weeks (`propose_band`).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from bayround.agronomy.fruit import LoadEstimate
from bayround.agronomy.guards import not_negative_number, share_from_none_to_all
from bayround.agronomy.incidence import wilson_interval
from bayround.agronomy.inputs import finite_number, whole_number
from bayround.agronomy.sampling import mean_interval

__all__ = [
    "Band",
    "BandPoint",
    "LoadJudgement",
    "LoadVerdict",
    "PastLoad",
    "ProposedPoint",
    "Thinning",
    "band_at",
    "fruit_to_take_off",
    "judge_load",
    "propose_band",
]


class LoadVerdict(StrEnum):
    """Where a planting stands against its band."""

    OVERLOADED = "overloaded"
    UNDERLOADED = "underloaded"
    INSIDE = "inside"
    UNEVEN = "uneven"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class BandPoint:
    """The band in one week after transplanting; ``low`` and ``high`` in fruit per plant, stem or m²."""

    week: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Band:
    """Lowest and highest load wanted, in one unit."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class LoadJudgement:
    """The verdict, and the plants behind it.

    variation: standard deviation over mean of the marked plants (None with fewer than two, or no fruit).
    plants_above, plants_below: marked plants outside the band, farthest out first.
    """

    verdict: LoadVerdict
    variation: float | None
    plants_above: tuple[str, ...]
    plants_below: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Thinning:
    """What a crew is told, in whole fruit, and how much work it is.

    leave_at_most: fruit to leave on a plant that has more. off_by_plant: marked plants that have more, and
    how many come off each. usual_fruit_off: fruit off such a plant, on average, rounded up. The three
    planting figures are (estimate, low, high).
    """

    leave_at_most: int
    off_by_plant: dict[str, int]
    usual_fruit_off: int
    plants_in_planting: tuple[int, int, int]
    fruit_off_in_planting: tuple[int, int, int] | None
    level: float


@dataclass(frozen=True, slots=True)
class PastLoad:
    """The load of one earlier visit, in the unit the band will have."""

    week: float
    load: float


@dataclass(frozen=True, slots=True)
class ProposedPoint:
    """A point of a proposed band, and how many past loads stand behind it."""

    point: BandPoint
    past_loads: int


def band_at(points: Sequence[BandPoint], week: float) -> Band | None:
    """The band in a week after transplanting, by straight lines between the points given.

    None before the first and after the last point: a band is never stretched beyond what was given.
    Errors: ValueError when there is no point, weeks do not rise, or a low is below 0 or above its high.
    """
    if not points:
        raise ValueError("a band needs at least one point")
    for point in points:
        if not not_negative_number(point.low, "low") <= finite_number(point.high, "high"):
            raise ValueError(f"week {point.week}: low ({point.low}) is above high ({point.high})")
    if any(later.week <= earlier.week for earlier, later in pairwise(points)):
        raise ValueError("the weeks of a band must rise from point to point")
    finite_number(week, "week")
    for point in points:
        if week == point.week:
            return Band(point.low, point.high)
    for earlier, later in pairwise(points):
        if earlier.week < week < later.week:
            part = (week - earlier.week) / (later.week - earlier.week)
            return Band(
                earlier.low + part * (later.low - earlier.low),
                earlier.high + part * (later.high - earlier.high),
            )
    return None


def _variation(loads: Sequence[float]) -> float | None:
    if len(loads) < 2:
        return None
    found = mean_interval(loads)
    return (
        None if found.standard_deviation is None or found.mean == 0 else found.standard_deviation / found.mean
    )


def _verdict(load: LoadEstimate, band: Band, uneven: bool) -> LoadVerdict:
    if load.low is None or load.high is None:
        return LoadVerdict.CANNOT_TELL
    if load.low > band.high:
        return LoadVerdict.OVERLOADED
    if load.high < band.low:
        return LoadVerdict.UNDERLOADED
    if uneven and band.low <= load.value <= band.high:
        return LoadVerdict.UNEVEN
    return LoadVerdict.INSIDE if load.low >= band.low and load.high <= band.high else LoadVerdict.CANNOT_TELL


def judge_load(
    load: LoadEstimate,
    band: Band,
    plant_loads: Mapping[str, float],
    *,
    greatest_variation: float,
    most_outside_share: float,
) -> LoadJudgement:
    """Overloaded, underloaded, inside, uneven, or not to be told from this many plants.

    ``load``, ``band`` and ``plant_loads`` in one unit. Overloaded or underloaded only when the whole
    interval lies outside the band; inside only when it lies wholly inside; uneven when the load itself is
    inside but the plants vary by more than ``greatest_variation`` (standard deviation over mean) or more
    than ``most_outside_share`` of them are outside; anything else cannot be told.
    Errors: ValueError when the band is upside down, a load is below 0 or a share outside 0 to 1.
    """
    if not not_negative_number(band.low, "low") <= finite_number(band.high, "high"):
        raise ValueError(f"low ({band.low}) is above high ({band.high})")
    not_negative_number(greatest_variation, "greatest_variation")
    share_from_none_to_all(most_outside_share, "most_outside_share")
    for plant, carried in plant_loads.items():
        not_negative_number(carried, f"load of plant {plant}")
    above = sorted((p for p, each in plant_loads.items() if each > band.high), key=lambda p: -plant_loads[p])
    below = sorted((p for p, each in plant_loads.items() if each < band.low), key=lambda p: plant_loads[p])
    variation = _variation(list(plant_loads.values()))
    outside = len(above) + len(below)
    uneven = (variation is not None and variation > greatest_variation) or (
        outside > most_outside_share * len(plant_loads)
    )
    return LoadJudgement(_verdict(load, band, uneven), variation, tuple(above), tuple(below))


def fruit_to_take_off(
    plant_fruit: Mapping[str, float], band: Band, *, plants_standing: int, level: float = 0.95
) -> Thinning | None:
    """How many fruit to take off to bring every plant back to the top of the band; None if none is above.

    ``plant_fruit``: fruit on each marked plant; ``band`` in fruit per plant. A plant above the band is
    brought down to the most whole fruit the band allows, so that no plant falls below the band for it.
    How many plants and fruit that means in the planting: Wilson's interval and Student's t.
    Errors: ValueError when a count is below 0, the band is upside down or holds no whole number of fruit,
    or more plants were counted than stand.
    """
    leave = math.floor(finite_number(band.high, "high"))
    if not not_negative_number(band.low, "low") <= leave:
        raise ValueError(f"no whole number of fruit lies between {band.low} and {band.high}")
    whole_number(plants_standing, "plants_standing", at_least=max(1, len(plant_fruit)))
    off = {
        plant: math.ceil(not_negative_number(fruit, f"fruit on plant {plant}") - leave)
        for plant, fruit in plant_fruit.items()
        if fruit > band.high
    }
    if not off:
        return None
    share = wilson_interval(len(off), len(plant_fruit), level)
    taken = mean_interval([float(off.get(plant, 0)) for plant in plant_fruit], plants_standing, level)
    fruit = None
    if taken.low is not None and taken.high is not None:
        bounds = (taken.mean, max(0.0, taken.low), taken.high)
        fruit = tuple(round(plants_standing * each) for each in bounds)
    most = max(len(off), math.ceil(share.high * plants_standing))
    return Thinning(
        leave_at_most=leave,
        off_by_plant=off,
        usual_fruit_off=math.ceil(sum(off.values()) / len(off)),
        plants_in_planting=(
            round(plants_standing * len(off) / len(plant_fruit)),
            max(len(off), math.floor(share.low * plants_standing)),
            min(most, plants_standing - (len(plant_fruit) - len(off))),
        ),
        fruit_off_in_planting=None if fruit is None else (fruit[0], fruit[1], fruit[2]),
        level=level,
    )


def propose_band(
    past: Sequence[PastLoad],
    *,
    low_quantile: float,
    high_quantile: float,
    weeks_either_side: float,
    least_loads: int,
) -> tuple[ProposedPoint, ...]:
    """A band from the farm's own past weeks: quantiles of the loads around each whole week.

    Every whole week with at least ``least_loads`` past loads no more than ``weeks_either_side`` away gets
    a point. Choose the past weeks first: those of plantings that went well. Quantiles by straight line
    between order statistics (Hyndman & Fan 1996, American Statistician 50:361-365, type 7).
    Errors: ValueError when the quantiles are not 0 to 1 with low below high, a load is below 0, or
    ``least_loads`` is below 2.
    """
    import numpy as np

    if not share_from_none_to_all(low_quantile, "low_quantile") < share_from_none_to_all(
        high_quantile, "high_quantile"
    ):
        raise ValueError("low_quantile must be below high_quantile")
    not_negative_number(weeks_either_side, "weeks_either_side")
    whole_number(least_loads, "least_loads", at_least=2)
    for each in past:
        not_negative_number(each.load, "load")
        finite_number(each.week, "week")
    if not past:
        return ()
    weeks = range(math.ceil(min(each.week for each in past)), math.floor(max(each.week for each in past)) + 1)
    proposed = []
    for week in weeks:
        near = [each.load for each in past if abs(each.week - week) <= weeks_either_side]
        if len(near) >= least_loads:
            low, high = (float(each) for each in np.quantile(near, [low_quantile, high_quantile]))
            proposed.append(ProposedPoint(BandPoint(float(week), low, high), len(near)))
    return tuple(proposed)
