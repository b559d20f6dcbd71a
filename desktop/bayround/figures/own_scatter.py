"""How the farm's own card counts scatter, and how many cards tell enough: Green's, Kuno's and Iwao's plans.

Of every week with at least three cards of one organism over the bays of a crop, mean and variance of the catch
per card and week are one set. Taylor's and Iwao's lines through the sets give the plans; where a line can't be
fitted, or a plan breaks down, the reason stands in its place.
"""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from bayround import words
from bayround.agronomy import precision_plans
from bayround.agronomy.precision_plans import IwaoFit, TaylorFit
from bayround.agronomy.refusals import Refused
from bayround.crops.organisms import Organism
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.weeks import Week
from bayround.words import _

FEWEST_CARDS = 3
DAYS = 7
CARDS = (5, 10, 20, 40)
"""Numbers of cards for which the plans are written down."""
PRECISION = 0.25
"""Standard error ÷ mean: a quarter is enough for deciding on pests (Southwood, Ecological Methods; from memory)."""
HALF_WIDTH = 0.5
"""Half of a 95 % interval ÷ mean that goes with that standard error: about twice as wide."""
SOURCE = (
    "Taylor 1961, Nature 189:732–735; Green 1970, Res. Popul. Ecol. 12:249–251; Iwao 1968, Res. Popul. Ecol. "
    "10:1–20; Bliss & Owen 1958, Biometrika 45:37–58 (k); Kuno 1969, Res. Popul. Ecol. 11:127–136; Iwao 1975 (curves about a threshold)"
)


@dataclass(frozen=True, slots=True)
class CardSet:
    """The cards of one week over the bays of a crop: catch per card and week, its variance (divisor n - 1)."""

    week: Week
    cards: int
    mean: float
    variance: float


@dataclass(frozen=True, slots=True)
class OwnScatter:
    """One organism's card counts on this farm: the sets, the two lines (or why not), and what follows in words."""

    organism: Organism
    sets: tuple[CardSet, ...]
    taylor: TaylorFit | Refused
    iwao: IwaoFit | Refused
    lines: tuple[str, ...]

    @property
    def title(self) -> str:
        """Organism and what is counted."""
        return _("{name} · cards").format(name=_(self.organism.name))


def views(
    organisms: Iterable[Organism], profile: CropProfile, pasts: Iterable[BayPast]
) -> tuple[OwnScatter, ...]:
    """Return the scatter of every organism of a crop that was counted on cards, in the order of the crop."""
    sets = card_sets(profile.key, pasts)
    return tuple(_view(one, profile, sets[one.key]) for one in organisms if one.key in sets)


def card_sets(crop: str, pasts: Iterable[BayPast]) -> dict[str, tuple[CardSet, ...]]:
    """Return organism → the weeks with at least three of its cards over the bays of a crop, oldest first."""
    caught: dict[str, dict[Week, list[float]]] = defaultdict(lambda: defaultdict(list))
    for past in pasts:
        if past.planting is None or past.planting.crop != crop:
            continue
        for record in past.visits:
            for card in record.cards:
                if card.days_hung > 0:
                    caught[card.organism][Week.of(record.day)].append(card.count * DAYS / card.days_hung)
    return {
        organism: tuple(
            CardSet(week, len(counts), statistics.fmean(counts), statistics.variance(counts))
            for week, counts in sorted(weeks.items())
            if len(counts) >= FEWEST_CARDS
        )
        for organism, weeks in caught.items()
    }


def _view(organism: Organism, profile: CropProfile, sets: tuple[CardSet, ...]) -> OwnScatter:
    means, variances = [one.mean for one in sets], [one.variance for one in sets]
    taylor = precision_plans.taylor_fit(means, variances)
    iwao = precision_plans.iwao_fit(means, variances)
    lines = [
        _("{n} weeks with at least {cards} cards over the bays of this crop.").format(
            n=len(sets), cards=FEWEST_CARDS
        )
    ]
    lines += [*_clumping(sets), *_green(taylor, statistics.fmean(one.mean for one in sets)), *_kuno(iwao)]
    lines += _about_threshold(organism, profile.key, taylor)
    return OwnScatter(organism, sets, taylor, iwao, tuple(lines))


def _clumping(sets: tuple[CardSet, ...]) -> list[str]:
    k = precision_plans.common_k(
        [one.mean for one in sets], [one.variance for one in sets], [one.cards for one in sets]
    )
    if isinstance(k, Refused):
        return [_("Clumping: {why}").format(why=_(k.refused))]
    return [
        _("Clumping: one exponent k = {k} for all weeks (negative binomial).").format(k=words.number(k, 2))
    ]


def _green(fit: TaylorFit | Refused, mean: float) -> list[str]:
    if isinstance(fit, Refused):
        return [_("Taylor's line: {why}").format(why=_(fit.refused))]
    said = _("Taylor's line: variance = {a} × mean^{b} (b ± {error}; r² {share}).").format(
        a=words.number(fit.a, 2),
        b=words.number(fit.b, 2),
        error=words.number(fit.b_standard_error, 2),
        share=words.number(fit.r_squared, 2),
    )
    stops = [(n, precision_plans.green_stop_total(n, fit.a, fit.b, PRECISION)) for n in CARDS]
    plan = _(
        "Green's plan, mean to ± {percent} % (standard error): stop once so many were caught in all: {stops}"
    )
    return [
        said,
        _at_mean(fit, mean),
        plan.format(percent=words.number(100 * PRECISION, 0), stops=_stops(stops)),
    ]


def _at_mean(fit: TaylorFit, mean: float) -> str:
    """Return what Taylor's line says at the mean of the weeks: clumping there, and cards for an interval."""
    k = precision_plans.taylor_k(mean, fit.a, fit.b)
    clumped = _("k = {k}").format(k=words.number(k, 2)) if isinstance(k, float) else _(k.refused)
    cards = precision_plans.units_for_relative_half_width(mean, fit.a, fit.b, HALF_WIDTH)
    return _(
        "At {mean} per card: {clumped}; for a 95 % interval of ± {percent} % it takes {n} cards."
    ).format(
        mean=words.number(mean, 1),
        clumped=clumped,
        percent=words.number(100 * HALF_WIDTH, 0),
        n=words.number(math.ceil(cards), 0),
    )


def _kuno(fit: IwaoFit | Refused) -> list[str]:
    if isinstance(fit, Refused):
        return [_("Iwao's line: {why}").format(why=_(fit.refused))]
    said = _("Iwao's line: mean crowding = {alpha} + {beta} × mean (± {error}; r² {share}).").format(
        alpha=words.number(fit.alpha, 2),
        beta=words.number(fit.beta, 2),
        error=words.number(fit.beta_standard_error, 2),
        share=words.number(fit.r_squared, 2),
    )
    if fit.alpha <= -1:
        return [said, _("Kuno's plan can't be made: the line falls below what counts can be.")]
    stops = [(n, precision_plans.kuno_stop_total(n, fit.alpha, fit.beta, PRECISION)) for n in CARDS]
    plan = _(
        "Kuno's plan, mean to ± {percent} % (standard error): stop once so many were caught in all: {stops}"
    )
    return [said, plan.format(percent=words.number(100 * PRECISION, 0), stops=_stops(stops))]


def _stops(stops: list[tuple[int, float | Refused]]) -> str:
    """Return “5 cards 120, 10 cards 90”, or the reason where no number of cards will do."""
    if all(isinstance(total, Refused) for _n, total in stops):
        refused = stops[0][1]
        return _(refused.refused) if isinstance(refused, Refused) else ""
    return ", ".join(
        _("{n} cards {total}").format(
            n=n, total=words.MISSING if isinstance(total, Refused) else words.number(total, 0)
        )
        for n, total in stops
    )


def _about_threshold(organism: Organism, crop: str, fit: TaylorFit | Refused) -> list[str]:
    """Return Iwao's curves about the crop's threshold for cards, the variance there by Taylor's line."""
    threshold = organism.threshold_for(crop, "card_per_day")
    if threshold is None or isinstance(fit, Refused):
        return []
    mean = threshold.value * DAYS
    variance = precision_plans.taylor_variance(mean, fit.a, fit.b)
    parts = []
    for n in CARDS:
        bounds = precision_plans.iwao_bounds(n, mean, variance)
        low = words.MISSING if bounds.low < 0 else f"≤ {words.number(bounds.low, 0)}"
        parts.append(
            _("{n} cards: {low} or ≥ {high}").format(n=n, low=low, high=words.number(bounds.high, 0))
        )
    most = precision_plans.iwao_largest(variance, mean * PRECISION)
    said = _("Below or above {value} per card and week ({source}): catch of a week in all, {curves}")
    said += "; " + _("after {n} cards between the two it is at the threshold").format(
        n=words.number(math.ceil(most), 0)
    )
    return [said.format(value=words.number(mean, 1), source=threshold.source, curves="; ".join(parts))]
