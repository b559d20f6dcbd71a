"""Do two scouts see the same? On the same plants of the same day; and what a change of scout does to a trend."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from bayround import words
from bayround.agronomy import agreement, sampling
from bayround.agronomy.refusals import Refused
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

KAPPA_SOURCE = "Cohen 1968, Psychol. Bull. 70:213–220; Fleiss, Cohen & Everitt 1969 (interval)"
LIN_SOURCE = "Lin 1989, Biometrics 45:255–268, corrected 2000, 56:324–325"
LIMITS_SOURCE = "Bland & Altman 1986, Lancet i:307–310"
SWITCH_SOURCE = "Differences from the line between the visits beside; Student 1908 (t interval over bays)"
COUNTS = (
    ("flowers", "Flowers"),
    ("fruit_set", "Set fruit"),
    ("fruit_green", "Green fruit"),
    ("fruit_turning", "Turning fruit"),
    ("fruit_coloured", "Coloured fruit"),
)


@dataclass(frozen=True, slots=True)
class ScoutPair:
    """Readings of the same plants on the same day: (bay, day, plant, first scout's value, second's) by field."""

    first_id: str
    second_id: str
    readings: Mapping[str, tuple[tuple[str, date, str, float, float], ...]]

    def values(self, field: str) -> tuple[list[float], list[float]]:
        """Return both scouts' values of a field, in the same order."""
        rows = self.readings.get(field, ())
        return [row[3] for row in rows], [row[4] for row in rows]


def pairs(pasts: Iterable[BayPast]) -> tuple[ScoutPair, ...]:
    """Return every two scouts who measured the same plants on the same day, in the order of their ids."""
    found: dict[tuple[str, str], dict[str, list[tuple[str, date, str, float, float]]]] = {}
    for past in pasts:
        for one, two in combinations(past.visits, 2):
            if one.day != two.day or one.visit.scout_id == two.visit.scout_id:
                continue
            first, second = sorted((one, two), key=lambda record: record.visit.scout_id)
            key = (first.visit.scout_id, second.visit.scout_id)
            kept = found.setdefault(key, {})
            for field in ("height_cm", *(field for field, _label in COUNTS)):
                kept.setdefault(field, []).extend(_shared(past, first, second, field))
    return tuple(
        ScoutPair(first, second, {field: tuple(rows) for field, rows in kept.items() if rows})
        for (first, second), kept in sorted(found.items())
    )


def _shared(
    past: BayPast, first: VisitRecord, second: VisitRecord, field: str
) -> list[tuple[str, date, str, float, float]]:
    mine, theirs = sampled.values_of(first, field), sampled.values_of(second, field)
    return [
        (past.bay.id, first.day, plant, mine[plant], theirs[plant])
        for plant in sorted(mine.keys() & theirs.keys())
    ]


def height_agreement(pair: ScoutPair) -> dict[str, Figure]:
    """Return Lin's concordance and the limits of agreement of heights (first scout − second, cm)."""
    first, second = pair.values("height_cm")
    label = _("Agreement on heights (Lin)")
    rule = _("Concordance: 1 when both read the same, lower for scatter and for a constant difference.")
    inputs = ((_("Plants both measured"), str(len(first))),)
    why = Why(rule, inputs, LIN_SOURCE, "published")
    found = agreement.lins_concordance(first, second) if len(first) >= 3 else None
    if found is None or isinstance(found, Refused):
        reason = _("Needs three plants measured by both.") if found is None else _(found.refused)
        concordance = Figure("scouts_concordance", label, None, "", 2, why, missing=reason)
    else:
        concordance = Figure(
            "scouts_concordance", label, found.concordance, "", 2, why, found.low, found.high, n=found.n
        )
    return {concordance.id: concordance, "scouts_height_difference_cm": _limits(first, second)}


def _limits(first: list[float], second: list[float]) -> Figure:
    label = _("Heights: first scout − second")
    rule = _(
        "Mean difference on the same plants with its interval; single differences lie between the limits."
    )
    if len(first) < 2:
        why = Why(rule, (), LIMITS_SOURCE, "published")
        reason = _("Needs two plants measured by both.")
        return Figure("scouts_height_difference_cm", label, None, "cm", 1, why, missing=reason)
    limits = agreement.limits_of_agreement(first, second)
    between = f"{words.number(limits.lower_limit, 1)} … {words.number(limits.upper_limit, 1)} cm"
    why = Why(rule, ((_("Limits of agreement"), between),), LIMITS_SOURCE, "published")
    return Figure(
        "scouts_height_difference_cm",
        label,
        limits.mean_difference,
        "cm",
        1,
        why,
        limits.mean_low,
        limits.mean_high,
        n=limits.n,
        says=_("between {limits}").format(limits=between),
    )


def count_agreement(pair: ScoutPair) -> dict[str, Figure]:
    """Return weighted kappa (squared steps) for every count both keyed in, with how often they said the same."""
    found = {}
    for field, name in COUNTS:
        first, second = pair.values(field)
        if first:
            figure = _kappa(field, _(name), first, second)
            found[figure.id] = figure
    return found


def _kappa(field: str, name: str, first: list[float], second: list[float]) -> Figure:
    counts = [int(value) for value in (*first, *second)]
    categories = tuple(range(min(counts), max(counts) + 1))
    same = sum(one == two for one, two in zip(first, second, strict=True))
    label = _("Agreement on {what} (weighted kappa)").format(what=name.lower())
    rule = _("Agreement beyond chance; a difference of two counts four times as much as one of one.")
    inputs = (
        (_("Plants both counted"), str(len(first))),
        (_("The same number"), f"{same} / {len(first)}"),
        (_("Most often beside each other"), _commonest(first, second)),
    )
    why = Why(rule, inputs, KAPPA_SOURCE, "published")
    figure_id = f"scouts_kappa_{field}"
    if len(categories) < 2:
        reason = _("Both said the same number throughout.")
        return Figure(figure_id, label, None, "", 2, why, missing=reason)
    table = agreement.cross_table(
        [int(value) for value in first], [int(value) for value in second], categories
    )
    kappa = agreement.kappa(table, "quadratic")
    if isinstance(kappa, Refused):
        return Figure(figure_id, label, None, "", 2, why, missing=_(kappa.refused))
    low, high = kappa.low, kappa.high
    return Figure(figure_id, label, kappa.kappa, "", 2, why, low, high, n=kappa.n, n_of="plants")


def _commonest(first: list[float], second: list[float]) -> str:
    """Return the three commonest pairs of counts, ``3|3 ×8``."""
    counted: dict[tuple[int, int], int] = {}
    for one, two in zip(first, second, strict=True):
        counted[int(one), int(two)] = counted.get((int(one), int(two)), 0) + 1
    top = sorted(counted.items(), key=lambda item: (-item[1], item[0]))[:3]
    return ", ".join(f"{one}|{two} ×{times}" for (one, two), times in top)


def switch_effects(pasts: Iterable[BayPast]) -> dict[tuple[str, str], Figure]:
    """Return (scout, other scout) → how much more the first reads in height (cm), from changes of scout.

    At a visit by one scout between two by another the mean height of the same plants is held against the
    line between those two. Every bay gives one number; the interval is over bays.
    """
    by_pair: dict[tuple[str, str], list[float]] = {}
    for past in pasts:
        steps: dict[tuple[str, str], list[float]] = {}
        for scouts, step in _steps(past):
            steps.setdefault(scouts, []).append(step)
        for scouts, found in steps.items():
            by_pair.setdefault(scouts, []).append(sum(found) / len(found))
    return {scouts: _switch_figure(found) for scouts, found in sorted(by_pair.items())}


def _steps(past: BayPast) -> list[tuple[tuple[str, str], float]]:
    """Return ((first, second) in the order of their ids, first − second in cm) for each lone visit of a scout."""
    found = []
    for before, here, after in zip(past.visits, past.visits[1:], past.visits[2:], strict=False):
        scout, other = here.visit.scout_id, before.visit.scout_id
        if scout == other or after.visit.scout_id != other or not before.day < here.day < after.day:
            continue
        heights = [sampled.values_of(record, "height_cm") for record in (before, here, after)]
        plants = heights[0].keys() & heights[1].keys() & heights[2].keys()
        if not plants:
            continue
        share = (here.day - before.day).days / (after.day - before.day).days
        step = sum(
            heights[1][plant] - (1 - share) * heights[0][plant] - share * heights[2][plant]
            for plant in plants
        ) / len(plants)
        found.append(((scout, other), step) if scout < other else ((other, scout), -step))
    return found


def _switch_figure(steps: list[float]) -> Figure:
    label = _("Reads more in height")
    rule = _(
        "Mean height at a visit by one scout − the line between the visits of the other before and after."
    )
    mean = sampling.mean_interval(steps)
    why = Why(rule, ((_("Bays"), str(mean.n)),), SWITCH_SOURCE, "published")
    low, high = mean.low, mean.high
    return Figure("scouts_switch_cm", label, mean.mean, "cm", 1, why, low, high, n=mean.n, n_of="bays")


def sentence(figure: Figure, first: str, second: str) -> str:
    """Return what a change of scout does to a bay's trend, in words."""
    if figure.value is None:
        return figure.missing
    more, less = (first, second) if figure.value > 0 else (second, first)
    size = words.number(abs(figure.value), figure.decimals)
    if figure.low is None or figure.high is None or figure.low <= 0 <= figure.high:
        return _("{first} and {second} read heights alike as far as {n} bays tell ({interval} cm).").format(
            first=first, second=second, n=figure.n, interval=figure.interval_text or size
        )
    return _(
        "{more} reads heights about {size} cm higher than {less} ({n} bays). When the scout changes, a bay's growth of "
        "that week is off by so much; compare weeks walked by the same scout."
    ).format(more=more, less=less, size=size, n=figure.n)


def changed_scout(past: BayPast) -> bool:
    """Tell whether the newest visit was walked by another scout than the one before."""
    latest, previous = past.latest, past.previous
    return bool(latest and previous and latest.visit.scout_id != previous.visit.scout_id)
