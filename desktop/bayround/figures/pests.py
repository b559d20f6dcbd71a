"""Figures of pests and disease: incidence with its interval, catches per card and day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bayround import words
from bayround.agronomy import incidence
from bayround.crops.organisms import Organism
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.rounds import CardCount, PestCheck
from bayround.figures.figure import Figure, Why
from bayround.words import _

WILSON_SOURCE = "Wilson 1927, J. Am. Stat. Assoc. 22:209–212"
ROUNDS_RULE = "Infested units ÷ units inspected; several checks of one organism at a visit are added."


def figures(
    past: BayPast, profile: CropProfile | None, organisms: Mapping[str, Organism]
) -> dict[str, Figure]:
    """Return incidence per organism, the worst of them, and catches per card and day of the newest visit."""
    record = past.latest
    found: dict[str, Figure] = {figure.id: figure for figure in _incidences(record, organisms)}
    worst = _worst(list(found.values()))
    for key, cards in cards_by_organism(record).items():
        name = organisms[key].name if key in organisms else key
        figure = card_figure(f"cards_{key}", name, cards)
        found[figure.id] = figure
    return found | {worst.id: worst}


def worst_figure(record: VisitRecord | None, organisms: Mapping[str, Organism]) -> Figure:
    """Return the worst incidence of one visit (percent), which says of which organism; the others are not made."""
    shares: dict[str, float] = {}
    for key, checks in checks_by_organism(record).items():
        inspected = sum(check.inspected for check in checks)
        if inspected:
            shares[key] = sum(check.infested for check in checks) / inspected
    worst = max(shares, key=lambda key: (shares[key], key), default=None)
    return _worst([] if worst is None else _incidences(record, organisms, worst))


def _incidences(
    record: VisitRecord | None, organisms: Mapping[str, Organism], only: str = ""
) -> list[Figure]:
    return [
        incidence_figure(f"incidence_{key}", organisms[key].name if key in organisms else key, checks)
        for key, checks in checks_by_organism(record).items()
        if only in ("", key)
    ]


def checks_by_organism(record: VisitRecord | None) -> dict[str, list[PestCheck]]:
    """Return the checks of a visit by organism key, in alphabetical order."""
    groups: dict[str, list[PestCheck]] = defaultdict(list)
    for check in record.checks if record else ():
        groups[check.organism].append(check)
    return dict(sorted(groups.items()))


def cards_by_organism(record: VisitRecord | None) -> dict[str, list[CardCount]]:
    """Return the sticky cards of a visit by organism key, in alphabetical order."""
    groups: dict[str, list[CardCount]] = defaultdict(list)
    for card in record.cards if record else ():
        groups[card.organism].append(card)
    return dict(sorted(groups.items()))


def incidence_figure(figure_id: str, name: str, checks: Sequence[PestCheck]) -> Figure:
    """Return the share of infested units (percent) with Wilson's 95 % interval."""
    inspected, infested = sum(check.inspected for check in checks), sum(check.infested for check in checks)
    inputs = ((_("Inspected"), str(inspected)), (_("Infested"), str(infested)))
    why = Why(_(ROUNDS_RULE), inputs, WILSON_SOURCE, "published")
    label = _("Incidence of {name}").format(name=_(name))
    if inspected == 0:
        return Figure(figure_id, label, None, "%", 1, why, missing=_("Nothing was inspected."), says=_(name))
    share = incidence.wilson_interval(infested, inspected)
    sure = incidence.clopper_pearson_interval(infested, inspected)
    between = _("{low} to {high} %").format(
        low=words.number(sure.low * 100, 1), high=words.number(sure.high * 100, 1)
    )
    why = replace(why, inputs=(*inputs, (_("Exact limits (Clopper & Pearson 1934)"), between)))
    return Figure(
        figure_id,
        label,
        share.share * 100,
        "%",
        1,
        why,
        share.low * 100,
        share.high * 100,
        n=inspected,
        n_of="units",
        says=_(name),
    )


def card_figure(figure_id: str, name: str, cards: Sequence[CardCount]) -> Figure:
    """Return the catch per card and day with its exact Poisson interval."""
    caught = [incidence.CardCatch(card.count, card.days_hung, card.area_cm2 or 1.0) for card in cards]
    rate = incidence.card_rate(caught)
    inputs = ((_("Cards"), str(rate.cards)), (_("Caught"), str(rate.caught)))
    why = Why(
        _("Insects caught ÷ days hung, over all cards of the bay."),
        inputs,
        "Garwood 1936, Biometrika 28:437–442",
        "published",
    )
    label = _("{name} per card and day").format(name=_(name))
    return Figure(
        figure_id,
        label,
        rate.per_card_per_day,
        _("per card and day"),
        2,
        why,
        rate.low,
        rate.high,
        n=rate.cards,
        n_of="cards",
    )


def _worst(found: Sequence[Figure]) -> Figure:
    known = [figure for figure in found if figure.value is not None]
    label = _("Worst incidence")
    if not known:
        why = Why(_(ROUNDS_RULE), (), WILSON_SOURCE, "published")
        return Figure(
            "incidence_percent", label, None, "%", 1, why, missing=_("No pest or disease was looked for.")
        )
    worst = max(known, key=lambda figure: (figure.value or 0.0, figure.id))
    says = worst.says if worst.value else _("none found")
    return Figure(
        "incidence_percent",
        label,
        worst.value,
        "%",
        1,
        worst.why,
        worst.low,
        worst.high,
        n=worst.n,
        n_of=worst.n_of,
        says=says,
    )
