"""What a logger's lines say of one day in one house: lowest and highest, mean vapour pressure deficit, light sum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import time
from itertools import pairwise
from operator import itemgetter

from bayround import words
from bayround.actions.imports import matching
from bayround.actions.imports.rows import Row
from bayround.agronomy import heat
from bayround.words import _

COLDEST_C, HOTTEST_C = -60.0, 70.0
"""What air in a house can be at all; loggers write −999 or 85 for a broken sensor. Common practice, no source."""

MOST_HUMIDITY_PERCENT, LEAST_LIGHT, MOST_LIGHT, MOST_LIGHT_SUM = 105.0, -10.0, 3000.0, 90.0
"""A humidity sensor in saturated air shows a little more than 100 %, a light sensor at night a little less than 0
µmol/m²/s; full sun outdoors brings about 2,000 µmol/m²/s and 60 mol/m² a day. Common practice, no source."""

FIRST_BY, LAST_FROM = time(2, 0), time(22, 0)
LONGEST_GAP_HOURS = 3.0
"""A day is whole where readings reach from its first to its last hours and none are farther apart than that: between
two readings light and temperature are not known. Common practice, no source."""
_ENOUGH, _STUCK = 0.8, 12
_AIR = (matching.TEMPERATURE, matching.LOW, matching.HIGH)
_DAMP = (matching.HUMIDITY, matching.HUMIDITY_LOW, matching.HUMIDITY_HIGH)
_LIMITS = {
    **dict.fromkeys(_AIR, (COLDEST_C, HOTTEST_C, "°C", 1)),
    **dict.fromkeys(_DAMP, (0.0, MOST_HUMIDITY_PERCENT, "%", 0)),
    matching.LIGHT: (LEAST_LIGHT, MOST_LIGHT, "µmol/m²/s", 0),
    matching.LIGHT_SUM: (0.0, MOST_LIGHT_SUM, "mol/m²", 1),
}


@dataclass(slots=True)
class LoggedDay:
    """One day in one house: values with their times, or lowest and highest as they stand.

    *bad* counts temperatures that can't be; *spoilt* names what else had one: it is left out of the day.
    """

    clocks: list[time] = field(default_factory=list)
    temperatures: list[float] = field(default_factory=list)
    pairs: list[tuple[float, float]] = field(default_factory=list)
    humidities: list[float] = field(default_factory=list)
    humidity_pairs: list[tuple[float, float]] = field(default_factory=list)
    deficits_kpa: list[float] = field(default_factory=list)
    lights: list[tuple[time | None, float]] = field(default_factory=list)
    light_sums: list[tuple[time, float]] = field(default_factory=list)
    bad: int = 0
    spoilt: set[str] = field(default_factory=set)

    def take(self, row: Row) -> list[str]:
        """Take the numbers of a line; return in words what can't be."""
        numbers: dict[str, float | None] = {}
        wrong = []
        for holds, (least, most, unit, decimals) in _LIMITS.items():
            if holds not in row.cells:
                continue
            number, why = row.amount(holds)
            if number is not None and not least <= number <= most:
                shown = words.number(number, decimals)
                why = _("{n} {unit} can't be: a broken sensor?").format(n=shown, unit=unit)
                number = None
            if why:
                self._note_bad(holds)
                wrong.append(why)
            numbers[holds] = number
        self._keep(numbers, row.clock)
        return wrong

    def _note_bad(self, holds: str) -> None:
        if holds in _AIR:
            self.bad += 1
        else:
            self.spoilt.add("humidity" if holds in _DAMP else "light")

    def _keep(self, numbers: dict[str, float | None], clock: time | None) -> None:
        only = numbers.get(matching.TEMPERATURE)
        if only is not None:
            self.temperatures.append(only)
            self.clocks += [clock] if clock is not None else []
        low, high = numbers.get(matching.LOW), numbers.get(matching.HIGH)
        if low is not None and high is not None:
            self.pairs.append((low, high))
        humidity = _at_most_full(numbers.get(matching.HUMIDITY))
        if humidity is not None:
            self.humidities.append(humidity)
            if only is not None and heat.is_air(only):
                self.deficits_kpa.append(heat.vapour_pressure_deficit_kpa(only, humidity))
        damp_low = _at_most_full(numbers.get(matching.HUMIDITY_LOW))
        damp_high = _at_most_full(numbers.get(matching.HUMIDITY_HIGH))
        if damp_low is not None and damp_high is not None:
            self.humidity_pairs.append((damp_low, damp_high))
        if (light := numbers.get(matching.LIGHT)) is not None:
            self.lights.append((clock, max(light, 0.0)))
        if (total := numbers.get(matching.LIGHT_SUM)) is not None:
            self.light_sums.append((clock or time.max, total))

    def values(self) -> dict[str, float]:
        """Return what a day of climate keeps: field → value; only what was measured well enough."""
        found: dict[str, float] = {}
        lows = [low for low, _high in self.pairs] + self.temperatures
        highs = [high for _low, high in self.pairs] + self.temperatures
        if lows:
            found |= {"low_c": round(min(lows), 2), "high_c": round(max(highs), 2)}
        damp = [low for low, _high in self.humidity_pairs] + self.humidities
        dampest = [high for _low, high in self.humidity_pairs] + self.humidities
        if damp and "humidity" not in self.spoilt and self._enough(len(self.humidities)):
            if min(damp) <= max(dampest):
                found["humidity_low_percent"] = round(min(damp), 1)
                found["humidity_high_percent"] = round(max(dampest), 1)
            if self.deficits_kpa and len(self.deficits_kpa) == len(self.humidities):
                mean = sum(self.deficits_kpa) / len(self.deficits_kpa)
                found["vapour_pressure_deficit_kpa"] = round(mean, 3)
        light = None if "light" in self.spoilt else self._light()
        return found if light is None else found | {"light_mol_m2": round(light, 2)}

    def _enough(self, count: int) -> bool:
        return count >= _ENOUGH * len(self.temperatures)

    def _light(self) -> float | None:
        """Light of the day in mol/m²: as it stands, or of the readings, when they reach over the whole day."""
        if self.light_sums:
            return sorted(self.light_sums, key=itemgetter(0))[-1][1]  # a running sum: the latest of the day
        if not self.lights or not self._enough(len(self.lights)):
            return None
        timed = sorted((_hours(clock), light) for clock, light in self.lights if clock is not None)
        if len(timed) == len(self.lights) and len({hours for hours, _light in timed}) == len(timed) > 2:
            whole = timed[0][0] <= _hours(FIRST_BY) and timed[-1][0] >= _hours(LAST_FROM)
            whole = whole and _gap([hours for hours, _light in timed])[1] <= LONGEST_GAP_HOURS
            return heat.light_integral_of_readings_mol_m2(timed) if whole else None
        mean = sum(light for _clock, light in self.lights) / len(self.lights)
        return heat.daily_light_integral_mol_m2(mean, 24) if not timed else None

    def doubt(self, usual_count: float) -> str:
        """Return why a day's lowest or highest may not be its real one."""
        if len(self.pairs) > 1:
            return _("several lines for one day")
        if self.bad:
            return _("some of its values can't be")
        count = len(self.temperatures)
        if not count:
            return ""
        if self.clocks and (min(self.clocks) > FIRST_BY or max(self.clocks) < LAST_FROM):
            return _("only part of the day: {first} to {last}").format(
                first=f"{min(self.clocks):%H:%M}", last=f"{max(self.clocks):%H:%M}"
            )
        since, gap = _gap(sorted(_hours(clock) for clock in self.clocks))
        if gap > LONGEST_GAP_HOURS:
            hour, minute = divmod(round(since * 60), 60)
            return _("no values for {n} hours from {first} on").format(
                n=words.number(gap, 1), first=f"{hour:02d}:{minute:02d}"
            )
        if count < _ENOUGH * usual_count or count < 3:
            return _("only {n} values").format(n=count)
        if count >= _STUCK and min(self.temperatures) == max(self.temperatures):
            return _("always the same value: a stuck sensor?")
        return ""


def _at_most_full(humidity_percent: float | None) -> float | None:
    return None if humidity_percent is None else min(humidity_percent, 100.0)


def _gap(hours: Sequence[float]) -> tuple[float, float]:
    """Return after which of the hours (in order) the longest gap comes, and how long it is; none between fewer than two."""
    gaps = [(later - earlier, earlier) for earlier, later in pairwise(hours)]
    longest, since = max(gaps, default=(0.0, 0.0))
    return since, longest


def _hours(clock: time) -> float:
    return clock.hour + clock.minute / 60 + clock.second / 3600
