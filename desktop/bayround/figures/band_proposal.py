"""A band of fruit to carry, proposed from what the farm's own bays carried at the same age."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bayround.agronomy import fruit_band
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.figures import fruit

LOW_QUANTILE, HIGH_QUANTILE = 0.1, 0.9
WEEKS_EITHER_SIDE = 1.5
LEAST_LOADS = 5
"""Common practice, no source: the middle eight tenths of at least five loads within a week and a half of the age."""


@dataclass(frozen=True, slots=True)
class BandRow:
    """One row of the crop's band beside what the farm's past proposes (none where too few loads are known)."""

    weeks: float
    low: float
    high: float
    basis: str
    source: str
    file_low: float | None
    file_high: float | None
    proposed_low: float | None = None
    proposed_high: float | None = None
    past_loads: int = 0

    @property
    def low_name(self) -> str:
        """Name of the row's lower number, for an override."""
        return f"load_band.{self.weeks:g}.low_per_m2"

    @property
    def high_name(self) -> str:
        """Name of the row's upper number, for an override."""
        return f"load_band.{self.weeks:g}.high_per_m2"


def rows(profile: CropProfile, pasts: Iterable[BayPast]) -> tuple[BandRow, ...]:
    """Return the band row by row, each with the proposal for its age from the visits in *pasts*."""
    proposed = {
        point.point.week: point
        for point in fruit_band.propose_band(
            loads(pasts, profile.key),
            low_quantile=LOW_QUANTILE,
            high_quantile=HIGH_QUANTILE,
            weeks_either_side=WEEKS_EITHER_SIDE,
            least_loads=LEAST_LOADS,
        )
    }
    found = []
    for point in profile.load_band:
        own = proposed.get(point.weeks_after_transplanting)
        found.append(
            BandRow(
                weeks=point.weeks_after_transplanting,
                low=point.low_per_m2,
                high=point.high_per_m2,
                basis=point.basis,
                source=point.source,
                file_low=point.original_low_per_m2,
                file_high=point.original_high_per_m2,
                proposed_low=own.point.low if own else None,
                proposed_high=own.point.high if own else None,
                past_loads=own.past_loads if own else 0,
            )
        )
    return tuple(found)


def loads(pasts: Iterable[BayPast], crop: str) -> list[fruit_band.PastLoad]:
    """Return (age in weeks, fruit/m²) of every visit to a planting of *crop* at which fruit were counted."""
    found = []
    for past in pasts:
        if past.planting is None or past.planting.crop != crop:
            continue
        for record in past.visits:
            load = fruit.load_of(past, record)
            if load is not None:
                age = past.planting.age_days(record.day) / 7
                found.append(fruit_band.PastLoad(age, load.per_m2.value))
    return found
