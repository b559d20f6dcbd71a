"""What the map can be shaded by, and the five classes a measure is shown in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround import words
from bayround.figures.figure import Figure
from bayround.week.snapshot import BayWeek

STEPS = 5


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure by which the map is shaded. A *signed* one is shaded by its distance from zero."""

    figure_id: str
    title: str
    signed: bool = False

    def figure(self, bay_week: BayWeek) -> Figure:
        """Return the figure of one bay."""
        return bay_week.figures[self.figure_id]

    def amount(self, figure: Figure) -> float | None:
        """Return the shown value that is shaded, or nothing where it is missing."""
        if figure.shown is None:
            return None
        return abs(float(figure.shown)) if self.signed else float(figure.shown)

    def sign(self, figure: Figure) -> str:
        """Return a mark for the side of a signed measure: above or below its band."""
        if not self.signed or not figure.shown:
            return ""
        return "▲" if figure.shown > 0 else "▼"


MEASURES = (
    Measure("days_since_visit", "Days since the last visit"),
    Measure("growth_cm_week", "Growth"),
    Measure("load_over_band", "Fruit load outside its band", signed=True),
    Measure("incidence_percent", "Worst incidence"),
    Measure("weed_cover_percent", "Weed cover"),
    Measure("picks_kg_next", "Picks coming next week"),
)


@dataclass(frozen=True, slots=True)
class Classes:
    """Five classes of equal width from *low* on."""

    low: float
    step: float

    def of(self, amount: float) -> int:
        """Return the class, 0 to 4, of an amount."""
        return max(0, min(STEPS - 1, math.floor((amount - self.low) / self.step + 1e-9)))

    def bounds(self) -> tuple[str, ...]:
        """Return the six bounds of the classes as a legend names them."""
        places = 0 if float(self.step).is_integer() and float(self.low).is_integer() else 1
        return tuple(words.number(self.low + self.step * place, places) for place in range(STEPS + 1))


def classes_for(amounts: Sequence[float]) -> Classes:
    """Return classes with round bounds that hold every amount."""
    low, high = min(amounts, default=0.0), max(amounts, default=0.0)
    wanted = (high - low) / STEPS
    size = 10.0 ** math.floor(math.log10(wanted)) if wanted > 0 else 0.1
    for factor in (1, 2, 5, 10, 20, 50):
        step = max(size * factor, 0.1)
        first = math.floor(low / step + 1e-9) * step
        if first + STEPS * step >= high - 1e-9:
            return Classes(first, step)
    raise AssertionError("Round steps always suffice.")  # 50 × size is at least five times what is wanted
