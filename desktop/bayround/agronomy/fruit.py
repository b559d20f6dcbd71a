"""Fruit load per stem, plant and m² from the marked plants, and what has set since the last visit.

The marked plants are a sample of the planting, so every load has an interval, with the finite-population
correction (Cochran 1977, Sampling Techniques, chapters 2 and 6, from memory). Growth and set are taken
from the same plants, paired: that is what makes a small change visible.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number, whole_number
from bayround.agronomy.sampling import mean_interval, ratio_estimate

__all__ = ["FruitLoad", "FruitSet", "LoadEstimate", "PlantCount", "fruit_load", "fruit_set_since"]


@dataclass(frozen=True, slots=True)
class PlantCount:
    """Fruit counted on one marked plant, and on how many of its stems (all of them, or the marked one)."""

    plant: str
    fruit: float
    stems: float


@dataclass(frozen=True, slots=True)
class LoadEstimate:
    """A load with its interval; with one plant there is none. Never below 0 unless it is a change."""

    value: float
    standard_error: float | None
    low: float | None
    high: float | None
    plants: int
    level: float


@dataclass(frozen=True, slots=True)
class FruitLoad:
    """Fruit per stem, per plant and per m², and fruit in the whole planting."""

    per_stem: LoadEstimate
    per_plant: LoadEstimate
    per_m2: LoadEstimate
    in_planting: LoadEstimate


@dataclass(frozen=True, slots=True)
class FruitSet:
    """Fruit set since the last visit, net of fruit that fell, on plants counted both times.

    per_plant: since the last visit; per_plant_week: over seven days. plants_left_out: counted only once.
    plants_with_loss: fewer fruit than can be explained by what was picked or taken off (fruit fell, or a
    pick was not written down).
    """

    per_plant: LoadEstimate
    per_plant_week: LoadEstimate
    days: float
    plants_left_out: tuple[str, ...]
    plants_with_loss: tuple[str, ...]


def _times(load: LoadEstimate, factor: float) -> LoadEstimate:
    """The same load in another unit."""
    return LoadEstimate(
        load.value * factor,
        None if load.standard_error is None else load.standard_error * factor,
        None if load.low is None else load.low * factor,
        None if load.high is None else load.high * factor,
        load.plants,
        load.level,
    )


def _mean_load(
    values: Sequence[float], plants_standing: int, level: float, *, is_change: bool = False
) -> LoadEstimate:
    found = mean_interval(values, plants_standing, level)
    low = found.low if found.low is None or is_change else max(0.0, found.low)
    return LoadEstimate(found.mean, found.standard_error, low, found.high, found.n, level)


def _load_per_stem(counts: Sequence[PlantCount], plants_standing: int, level: float) -> LoadEstimate:
    fruit, stems = [count.fruit for count in counts], [count.stems for count in counts]
    if len(counts) == 1:
        return LoadEstimate(fruit[0] / stems[0], None, None, None, 1, level)
    ratio = ratio_estimate(fruit, stems, plants_standing, level)
    return LoadEstimate(
        ratio.ratio, ratio.standard_error, max(0.0, ratio.low), ratio.high, ratio.n, ratio.level
    )


def fruit_load(
    counts: Sequence[PlantCount],
    *,
    plants_standing: int,
    area_m2: float,
    stems_per_plant: float | None = None,
    level: float = 0.95,
) -> FruitLoad:
    """Fruit load of a planting from its marked plants.

    ``stems_per_plant``: leave out when each count covers its whole plant; when only marked stems were
    counted, give the planting's stems per plant, and the load per plant is built up from the load per
    stem. Per stem is the ratio of all fruit to all stems counted, per plant the mean, both with Student's
    t on plants - 1 degrees of freedom. ``area_m2``: the area the planting stands on; say beside the
    figure which area it is.
    Errors: ValueError for no count, a plant twice, fruit below 0, stems, area or stems per plant not
    above 0, or more plants counted than stand.
    """
    names = [count.plant for count in counts]
    if len(set(names)) != len(names):
        raise ValueError("each marked plant may be counted only once")
    for count in counts:
        not_negative_number(count.fruit, f"fruit on plant {count.plant}")
        positive_number(count.stems, f"stems counted on plant {count.plant}")
    standing = whole_number(plants_standing, "plants_standing", at_least=max(1, len(counts)))
    if not counts:
        raise ValueError("no marked plant was counted")
    per_stem = _load_per_stem(counts, standing, level)
    if stems_per_plant is None:
        per_plant = _mean_load([count.fruit for count in counts], standing, level)
    else:
        per_plant = _times(per_stem, positive_number(stems_per_plant, "stems_per_plant"))
    return FruitLoad(
        per_stem=per_stem,
        per_plant=per_plant,
        per_m2=_times(per_plant, standing / positive_number(area_m2, "area_m2")),
        in_planting=_times(per_plant, standing),
    )


def fruit_set_since(
    before: Mapping[str, float],
    now: Mapping[str, float],
    *,
    days: float,
    plants_standing: int,
    picked: Mapping[str, float] | None = None,
    taken_off: Mapping[str, float] | None = None,
    level: float = 0.95,
) -> FruitSet | None:
    """Fruit set per plant between two visits: load now - load before + picked + taken off, same plants.

    All mappings go from the mark of a plant to fruit (of that plant, or of its marked stem); ``days``
    between the visits. Interval: Student's t on the paired changes, finite-population corrected. None when
    no plant was counted both times.
    Errors: ValueError when a count is below 0, days is not above 0, or more plants than stand.
    """
    gone = (picked or {}, taken_off or {})
    for counts in (before, now, *gone):
        for plant, fruit in counts.items():
            not_negative_number(fruit, f"fruit on plant {plant}")
    positive_number(days, "days")
    both = [plant for plant in now if plant in before]
    if not both:
        return None
    change = {
        plant: now[plant] - before[plant] + sum(counts.get(plant, 0.0) for counts in gone) for plant in both
    }
    per_plant = _mean_load(list(change.values()), plants_standing, level, is_change=True)
    return FruitSet(
        per_plant=per_plant,
        per_plant_week=_times(per_plant, 7 / days),
        days=float(days),
        plants_left_out=tuple(dict.fromkeys(plant for plant in (*before, *now) if plant not in change)),
        plants_with_loss=tuple(plant for plant, fruit in change.items() if fruit < 0),
    )
