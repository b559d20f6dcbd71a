"""How many per plant, from how many plants are infested: only by a published relation, where it holds.

The interval carries the luck of the sample alone; the relation itself, fitted elsewhere, adds to it.
"""

import math
from dataclasses import dataclass

from bayround.agronomy.incidence import wilson_interval
from bayround.agronomy.inputs import positive_number, share_between
from bayround.agronomy.refusals import CROWDING_TOO_STRONG, NOTHING_FOUND, TOO_MANY_INFESTED, Refused

_LOWEST_DENSITY, _HIGHEST_DENSITY = 1e-12, 1e6


@dataclass(frozen=True, slots=True)
class PoissonRelation:
    """Individuals spread by chance alone: p = 1 - exp(-m)."""

    def incidence(self, density: float) -> float:
        """Share of units with at least one, at ``density`` per unit."""
        return -math.expm1(-positive_number(density, "density"))

    def density(self, incidence: float) -> float:
        """Density per unit at a share strictly between 0 and 1."""
        return -math.log1p(-share_between(incidence, "incidence"))


@dataclass(frozen=True, slots=True)
class NegativeBinomialRelation:
    """Clumped with exponent k: p = 1 - (1 + m/k)^-k."""

    k: float

    def incidence(self, density: float) -> float:
        """Share of units with at least one, at ``density`` per unit."""
        k = positive_number(self.k, "k")
        return -math.expm1(-k * math.log1p(positive_number(density, "density") / k))

    def density(self, incidence: float) -> float:
        """Density per unit at a share strictly between 0 and 1: k((1-p)^(-1/k) - 1)."""
        k = positive_number(self.k, "k")
        return k * math.expm1(-math.log1p(-share_between(incidence, "incidence")) / k)


@dataclass(frozen=True, slots=True)
class EmpiricalLine:
    """ln m = intercept + slope · ln(-ln(1-p)) (Kono & Sugino 1958; Nachman 1984), natural logarithms.

    p is the share of units holding more than the tally number of individuals the line was fitted for.
    """

    intercept: float
    slope: float

    def incidence(self, density: float) -> float:
        """Share of units above the tally, at ``density`` per unit."""
        exponent = (math.log(positive_number(density, "density")) - self.intercept) / positive_number(
            self.slope, "slope"
        )
        return -math.expm1(-math.exp(exponent))

    def density(self, incidence: float) -> float:
        """Density per unit at a share strictly between 0 and 1."""
        doubled_log = math.log(-math.log1p(-share_between(incidence, "incidence")))
        return math.exp(self.intercept + positive_number(self.slope, "slope") * doubled_log)


@dataclass(frozen=True, slots=True)
class WilsonRoomRelation:
    """p = 1 - exp(-m·ln q/(q-1)), q = a·m^(b-1), a and b of Taylor's law s² = a·m^b (Wilson & Room 1983).

    Source of the form: Wilson & Room 1983, Environ. Entomol. 12:50-54. Only for b < 2, where p rises with m.
    """

    a: float
    b: float

    def incidence(self, density: float) -> float:
        """Share of units with at least one, at ``density`` per unit."""
        log_q = math.log(positive_number(self.a, "a")) + (self.b - 1.0) * math.log(
            positive_number(density, "density")
        )
        factor = 1.0 if abs(log_q) < 1e-12 else log_q / math.expm1(log_q)
        return -math.expm1(-density * factor)

    def density(self, incidence: float) -> float:
        """Density per unit at a share strictly between 0 and 1, by bisection; ValueError when none does."""
        share_between(incidence, "incidence")
        if not self.reaches(incidence):
            raise ValueError(f"with b {self.b} no density gives a share of {incidence}")
        low, high = math.log(_LOWEST_DENSITY), math.log(_HIGHEST_DENSITY)
        for _ in range(80):
            middle = (low + high) / 2.0
            if self.incidence(math.exp(middle)) < incidence:
                low = middle
            else:
                high = middle
        return math.exp((low + high) / 2.0)

    def reaches(self, incidence: float) -> bool:
        """Whether some density up to a million per unit gives this share; never for b of 2 or more."""
        return self.b < 2.0 and self.incidence(_HIGHEST_DENSITY) >= incidence


Relation = PoissonRelation | NegativeBinomialRelation | EmpiricalLine | WilsonRoomRelation


@dataclass(frozen=True, slots=True)
class DensityEstimate:
    """Individuals per unit with interval (sampling only), and the share it was read from."""

    density: float
    low: float
    high: float
    incidence: float
    infested: int
    inspected: int
    level: float


def density_from_incidence(
    infested: int, inspected: int, relation: Relation, level: float = 0.95, highest_incidence: float = 0.95
) -> DensityEstimate | Refused:
    """Density per unit from the share infested by a published relation, Wilson's limits read likewise.

    Refused when nothing was found, when more than ``highest_incidence`` of the units are infested (near 1 one
    plant more or less changes the answer manifold; 0.95 is common practice, no source), or when Taylor's b is
    too near 2. Raises ValueError unless 0 <= infested <= inspected.
    """
    share = wilson_interval(infested, inspected, level)
    if share.infested == 0:
        return Refused(NOTHING_FOUND)
    if share.share > share_between(highest_incidence, "highest incidence"):
        return Refused(TOO_MANY_INFESTED)
    if isinstance(relation, WilsonRoomRelation) and not relation.reaches(share.high):
        return Refused(CROWDING_TOO_STRONG)
    low, middle, high = (relation.density(p) for p in (share.low, share.share, share.high))
    return DensityEstimate(middle, low, high, share.share, share.infested, share.inspected, level)
