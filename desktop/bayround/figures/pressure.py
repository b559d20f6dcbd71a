"""Pests and disease over time and over the farm: progress, trend, severity, density, all bays together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.agronomy import density, incidence, share_change
from bayround.agronomy.refusals import Refused
from bayround.crops.organisms import Organism
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.rounds import PestCheck
from bayround.figures.figure import Figure, Why
from bayround.words import _

PROGRESS_SOURCE = "Madden, Hughes & van den Bosch 2007, The Study of Plant Disease Epidemics"
TREND_SOURCE = "Armitage 1955, Biometrics 11:375–386; Newcombe 1998, Stat. Med. 17:873–890, method 10"
CLUSTER_SOURCE = "Korn & Graubard 1998, Survey Methodology 24:193–201"
RECENT_VISITS = 4
"""The trend rests on so many of the newest visits at which the organism was looked for."""

RISING, FALLING, UNCLEAR, NONE_FOUND = "rising", "falling", "no clear trend", "none found"


@dataclass(frozen=True, slots=True)
class Seen:
    """What one visit saw of one organism: units looked at, infested; severities where judged."""

    day: date
    inspected: int
    infested: int
    severities: tuple[float, ...]

    @property
    def percent(self) -> float:
        """Share infested in percent."""
        return 100 * self.infested / self.inspected


def history(past: BayPast, organism: str) -> tuple[Seen, ...]:
    """Return what every visit saw of an organism it looked for, oldest first; of a day the newest visit."""
    return _histories(past, {organism}).get(organism, ())


def _histories(past: BayPast, wanted: AbstractSet[str]) -> dict[str, tuple[Seen, ...]]:
    """Return organism → what every visit saw of it, oldest first."""
    found: dict[str, dict[date, Seen]] = {}
    if not wanted:
        return {}
    for record in past.visits:  # in order of time, and so is what comes out
        checks: dict[str, list[PestCheck]] = {}
        for check in record.checks:
            if check.organism in wanted and check.inspected > 0:
                checks.setdefault(check.organism, []).append(check)
        day = record.day
        for key, of_organism in checks.items():
            found.setdefault(key, {})[day] = _seen(day, of_organism)
    return {key: tuple(by_day.values()) for key, by_day in found.items()}


def _seen(day: date, checks: Sequence[PestCheck]) -> Seen:
    first, *more = checks
    inspected, infested = first.inspected, first.infested
    for check in more:
        inspected += check.inspected
        infested += check.infested
    severities = tuple([check.severity_percent for check in checks if check.severity_percent is not None])
    return Seen(day, inspected, infested, severities)


def figures(
    past: BayPast, profile: CropProfile | None, organisms: Mapping[str, Organism], *, lately: bool = False
) -> dict[str, Figure]:
    """Return progress, change and trend (and severity, density where there are any) of what was ever found.

    With *lately* only of what was found at one of the last four visits.
    """
    found: dict[str, Figure] = {}
    if profile is None or past.latest is None:
        return found
    looked_at = past.visits[-RECENT_VISITS:] if lately else past.visits
    wanted = {check.organism for record in looked_at for check in record.checks if check.infested > 0}
    for key, seen in sorted(_histories(past, wanted).items()):
        name = _(organisms[key].name) if key in organisms else key
        made = [progress(key, name, seen), change(key, name, seen)]
        if seen[-1].day == past.latest.day:
            if seen[-1].severities:
                made.append(severity(key, name, seen[-1]))
            if key in organisms:
                made.append(density_of(organisms[key], profile, past.latest))
        found |= {figure.id: figure for figure in made}
    return found


def progress(key: str, name: str, seen: Sequence[Seen]) -> Figure:
    """Return the area under the progress curve of incidence over the planting's visits, in %·days."""
    label = _("Progress of {name}").format(name=name)
    rule = _("Area under the line of the share infested over all visits that looked for it (%·days).")
    inputs = tuple((words.day(one.day), f"{one.infested} / {one.inspected}") for one in seen[-RECENT_VISITS:])
    why = Why(rule, inputs, PROGRESS_SOURCE, "published")
    if len(seen) < 2:
        missing = _("Needs two visits that looked for it.")
        return Figure(f"progress_{key}", label, None, _("%·days"), 0, why, missing=missing)
    days = [float((one.day - seen[0].day).days) for one in seen]
    area = incidence.area_under_progress_curve(days, [one.percent for one in seen])
    return Figure(f"progress_{key}", label, area, _("%·days"), 0, why, n=len(seen), n_of="visits")


def change(key: str, name: str, seen: Sequence[Seen]) -> Figure:
    """Return the change of the share infested since the visit before (percentage points), *says* the trend.

    The word rests on the last four visits, not on the last two: twenty units tell little.
    """
    label = _("Change of {name}").format(name=name)
    rule = _(
        "Share infested now − at the visit before; the word rests on the trend over the last {n} visits."
    )
    rule = rule.format(n=RECENT_VISITS)
    recent = seen[-RECENT_VISITS:]
    inputs = tuple((words.day(one.day), f"{one.infested} / {one.inspected}") for one in recent)
    why = Why(rule, inputs, TREND_SOURCE, "published")
    unit = _("points")
    if len(seen) < 2:
        missing = _("Needs two visits that looked for it.")
        return Figure(f"change_{key}", label, None, unit, 1, why, missing=missing)
    before, now = ((one.infested, one.inspected) for one in seen[-2:])
    found = share_change.share_change(before, now)
    return Figure(
        f"change_{key}",
        label,
        found.change * 100,
        unit,
        1,
        why,
        found.low * 100,
        found.high * 100,
        n=now[1],
        n_of="units",
        says=_(trend_word(recent)),
    )


def trend_word(recent: Sequence[Seen]) -> str:
    """Return rising, falling, no clear trend, or none found, over the visits given."""
    if not any(one.infested for one in recent):
        return NONE_FOUND
    if len(recent) < 2:
        return UNCLEAR
    days = [float((one.day - recent[0].day).days) for one in recent]
    trend = share_change.share_trend(
        days, [one.infested for one in recent], [one.inspected for one in recent]
    )
    if trend is None or not share_change.trend_is_clear(trend):
        return UNCLEAR
    return RISING if trend.slope_per_day > 0 else FALLING


def severity(key: str, name: str, seen: Seen) -> Figure:
    """Return the mean severity (percent of leaf area) over the checks of a visit that judged it."""
    label = _("Severity of {name}").format(name=name)
    mean = incidence.severity_mean(seen.severities)
    inputs = ((_("Judged"), words.listing([f"{percent:g} %" for percent in seen.severities])),)
    why = Why(_("Mean of the severities judged at this visit."), inputs, PROGRESS_SOURCE, "published")
    return Figure(
        f"severity_{key}", label, mean.mean, "%", 1, why, mean.low, mean.high, n=mean.n, n_of="checks"
    )


def density_of(organism: Organism, profile: CropProfile, record: VisitRecord) -> Figure:
    """Return individuals per unit: counted where counts were keyed in, else by a published line, else why not."""
    label = _("{name} per unit").format(name=_(organism.name))
    checks = [check for check in record.checks if check.organism == organism.key and check.inspected > 0]
    part = checks[0].inspected_part if checks else ""
    here = [check for check in checks if check.inspected_part == part]
    inspected, infested = sum(check.inspected for check in here), sum(check.infested for check in here)
    unit = _("per {part}").format(part=_(part) if part else _("unit"))
    figure_id = f"density_{organism.key}"
    if here and all(check.counted is not None for check in here):
        counted = sum(check.counted or 0 for check in here)
        low, high = incidence.poisson_interval(counted)
        inputs = ((_("Counted"), str(counted)), (_("Inspected"), str(inspected)))
        why = Why(
            _(
                "Individuals counted ÷ units inspected. The interval is that of chance alone: clumps widen it."
            ),
            inputs,
            "Garwood 1936, Biometrika 28:437–442",
            "published",
        )
        return Figure(
            figure_id,
            label,
            counted / inspected,
            unit,
            2,
            why,
            low / inspected,
            high / inspected,
            n=inspected,
            n_of="units",
        )
    return _by_relation(organism, profile, part, (infested, inspected), (figure_id, label, unit))


def _by_relation(
    organism: Organism, profile: CropProfile, part: str, found: tuple[int, int], names: tuple[str, str, str]
) -> Figure:
    figure_id, label, unit = names
    relation = organism.density_relation_for(profile.key, part)
    rule = _("ln(mean) = intercept + slope × ln(−ln(1 − share infested)), a published line.")
    if relation is None or relation.tally != 0:
        missing = _("No published line leads from the share infested to a number for this crop and part.")
        if relation is not None:
            missing = _(
                "The published line counts a part as infested above {n} individuals; this check counts it from the first."
            ).format(n=relation.tally)
        return Figure(figure_id, label, None, unit, 2, Why(rule), missing=missing)
    why = Why(rule, ((_("Holds for"), relation.applies_note),), relation.source, relation.basis)
    infested, inspected = found
    line = density.EmpiricalLine(relation.intercept, relation.slope)
    estimate = density.density_from_incidence(infested, inspected, line)
    if isinstance(estimate, Refused):
        return Figure(figure_id, label, None, unit, 2, why, missing=_(estimate.refused))
    low, high = estimate.low, estimate.high
    return Figure(figure_id, label, estimate.density, unit, 2, why, low, high, n=inspected, n_of="units")


def over_bays(
    pasts: Iterable[BayPast], key: str, name: str, since: date, bays_there: int | None = None
) -> Figure:
    """Return the share infested over the bays of a house or farm, each by its newest visit from *since* on.

    The interval knows that plants of one bay are alike; *bays_there* is how many bays there are.
    """
    label = _("Incidence of {name}, all bays").format(name=name)
    rule = _("Infested ÷ inspected over all bays; the bays, not the plants, are the sample.")
    newest = [seen[-1] for past in pasts if (seen := history(past, key)) and seen[-1].day >= since]
    inputs: tuple[tuple[str, str], ...] = (
        (_("Bays looked at"), str(len(newest))),
        (_("Inspected"), str(sum(one.inspected for one in newest))),
        (_("Infested"), str(sum(one.infested for one in newest))),
    )
    figure_id = f"incidence_all_{key}"
    if len(newest) < 2:
        why = Why(rule, inputs, CLUSTER_SOURCE, "published")
        missing = _("Needs two bays that looked for it.")
        return Figure(figure_id, label, None, "%", 1, why, missing=missing)
    share = incidence.cluster_incidence(
        [one.infested for one in newest], [one.inspected for one in newest], bays_there
    )
    inputs += ((_("As good as so many units drawn singly"), words.number(share.effective_n, 0)),)
    why = Why(rule, inputs, CLUSTER_SOURCE, "published")
    low, high = share.low * 100, share.high * 100
    return Figure(
        figure_id, label, share.share * 100, "%", 1, why, low, high, n=share.inspected, n_of="units"
    )
