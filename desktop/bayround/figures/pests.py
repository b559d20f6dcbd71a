"""Figures of pests and disease: incidence with its interval, cards per day, and what a check says to do."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bayround import words
from bayround.agronomy import incidence, sequential
from bayround.crops.organisms import Organism, Threshold
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.rounds import CardCount, PestCheck
from bayround.figures.figure import Figure, Why
from bayround.words import _

WILSON_SOURCE = "Wilson 1927, J. Am. Stat. Assoc. 22:209–212"
ROUNDS_RULE = "Infested units ÷ units inspected; several checks of one organism at a visit are added."


class Decision(StrEnum):
    """What a check says."""

    LEAVE = "leave it"
    ACT = "act"
    LOOK_MORE = "keep looking"
    CANNOT_TELL = "cannot tell"
    NO_THRESHOLD = "no threshold"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the checks of one organism at one visit say, and why."""

    organism: Organism
    inspected: int
    infested: int
    decision: Decision
    reason: str
    urgent: bool = False


def figures(
    past: BayPast, profile: CropProfile | None, organisms: Mapping[str, Organism]
) -> dict[str, Figure]:
    """Return incidence per organism, the worst of them, and catches per card and day of the newest visit."""
    record = past.latest
    found: dict[str, Figure] = {}
    for key, checks in checks_by_organism(record).items():
        name = organisms[key].name if key in organisms else key
        figure = incidence_figure(f"incidence_{key}", name, checks)
        found[figure.id] = figure
    for key, cards in _cards_by_organism(record).items():
        name = organisms[key].name if key in organisms else key
        figure = card_figure(f"cards_{key}", name, cards)
        found[figure.id] = figure
    found["incidence_percent"] = _worst(
        [figure for figure in found.values() if figure.id.startswith("incidence_")]
    )
    return found


def checks_by_organism(record: VisitRecord | None) -> dict[str, list[PestCheck]]:
    """Return the checks of a visit by organism key, in alphabetical order."""
    groups: dict[str, list[PestCheck]] = defaultdict(list)
    for check in record.checks if record else ():
        groups[check.organism].append(check)
    return dict(sorted(groups.items()))


def _cards_by_organism(record: VisitRecord | None) -> dict[str, list[CardCount]]:
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
        says=says,
    )


def plan_of(threshold: Threshold) -> sequential.SequentialPlan | None:
    """Return the stop rule that goes with an incidence threshold, if the organism file gives one."""
    plan = threshold.plan
    if plan is None:
        return None
    return sequential.SequentialPlan(
        kind="presence",
        leave_level=plan.p_leave,
        act_level=plan.p_act,
        risk_needless=plan.alpha,
        risk_missed=plan.beta,
        largest=plan.max_inspected,
    )


def verdicts(
    record: VisitRecord | None, profile: CropProfile | None, organisms: Mapping[str, Organism]
) -> tuple[Verdict, ...]:
    """Return what each organism's checks say to do, by the farm's thresholds."""
    if record is None or profile is None:
        return ()
    return tuple(
        verdict_of(organisms[key], checks, profile)
        for key, checks in checks_by_organism(record).items()
        if key in organisms
    )


def verdict_of(organism: Organism, checks: Sequence[PestCheck], profile: CropProfile) -> Verdict:
    """Return the strongest answer of an organism's thresholds: act, then keep looking, then leave."""
    inspected, infested = sum(check.inspected for check in checks), sum(check.infested for check in checks)
    answers = [
        _answer(threshold, checks, inspected, infested) for threshold in organism.thresholds_for(profile.key)
    ]
    known = [answer for answer in answers if answer is not None]
    if not known:
        reason = _("no threshold is set for this crop; judge for yourself")
        return Verdict(organism, inspected, infested, Decision.NO_THRESHOLD, reason)
    order = (Decision.ACT, Decision.LOOK_MORE, Decision.CANNOT_TELL, Decision.LEAVE)
    decision, reason, urgent = min(known, key=lambda answer: (order.index(answer[0]), not answer[2]))
    return Verdict(organism, inspected, infested, decision, reason, urgent)


Answer = tuple[Decision, str, bool]


def _answer(
    threshold: Threshold, checks: Sequence[PestCheck], inspected: int, infested: int
) -> Answer | None:
    here = [check for check in checks if not threshold.part or check.inspected_part == threshold.part]
    if threshold.kind == "presence":
        return _by_presence(inspected, infested)
    if threshold.kind == "incidence_percent" and here:
        return _by_incidence(threshold, sum(c.inspected for c in here), sum(c.infested for c in here))
    if threshold.kind == "mean_per_unit":
        return _by_mean(threshold, here)
    if threshold.kind == "severity_percent":
        return _by_severity(threshold, here)
    return None


def _by_presence(inspected: int, infested: int) -> Answer | None:
    if infested > 0:
        return (
            Decision.ACT,
            _("found on {found} of {n}; this one counts from the first find.").format(
                found=infested, n=inspected
            ),
            True,
        )
    if inspected == 0:
        return None
    return Decision.LEAVE, _("none found on {n}.").format(n=inspected), False


def _by_incidence(threshold: Threshold, inspected: int, infested: int) -> Answer | None:
    plan = plan_of(threshold)
    if inspected == 0:
        return None
    counted = _("{found} of {n} infested").format(found=infested, n=inspected)
    if plan is None:
        share = incidence.wilson_interval(infested, inspected)
        if share.share * 100 >= threshold.value:
            return (
                Decision.ACT,
                _("{counted}, threshold {limit} %.").format(counted=counted, limit=f"{threshold.value:g}"),
                False,
            )
        return (
            Decision.LEAVE,
            _("{counted}, below {limit} %.").format(counted=counted, limit=f"{threshold.value:g}"),
            False,
        )
    decided = sequential.decide(plan, inspected, infested)
    levels = _("leave up to {low} %, act from {high} %").format(
        low=words.number(plan.leave_level * 100, 0), high=words.number(plan.act_level * 100, 0)
    )
    if decided.answer == "act":
        return Decision.ACT, f"{counted} ({levels}).", infested / inspected >= 2 * plan.act_level
    if decided.answer == "leave":
        return Decision.LEAVE, f"{counted} ({levels}).", False
    if decided.answer == "cannot tell":
        return (
            Decision.CANNOT_TELL,
            _("{counted} after the most that are worth looking at: between the limits.").format(
                counted=counted
            ),
            False,
        )
    more = words.counted("look at {n} more", "look at {n} more", decided.look_at_more)
    if decided.clean_to_leave:
        more = words.counted(
            "{n} more clean one and you can leave it",
            "{n} more clean ones and you can leave it",
            decided.clean_to_leave,
        )
    return Decision.LOOK_MORE, f"{counted}; {more}.", False


def _by_mean(threshold: Threshold, checks: Sequence[PestCheck]) -> Answer | None:
    counted = [check for check in checks if check.counted is not None and check.inspected > 0]
    if not counted:
        return None
    mean = sum(check.counted or 0 for check in counted) / sum(check.inspected for check in counted)
    words_of = _("{mean} counted per {part}, threshold {limit}").format(
        mean=words.number(mean, 1), part=threshold.part or _("unit"), limit=f"{threshold.value:g}"
    )
    if mean >= threshold.value:
        return Decision.ACT, words_of + ".", mean >= 2 * threshold.value
    return Decision.LEAVE, words_of + ".", False


def _by_severity(threshold: Threshold, checks: Sequence[PestCheck]) -> Answer | None:
    judged = [check.severity_percent for check in checks if check.severity_percent is not None]
    if not judged:
        return None
    worst = max(judged)
    words_of = _("{worst} % of the leaf area, threshold {limit} %.").format(
        worst=words.number(worst, 0), limit=f"{threshold.value:g}"
    )
    return (
        (Decision.ACT if worst >= threshold.value else Decision.LEAVE),
        words_of,
        worst >= 2 * threshold.value,
    )


def decisions(
    record: VisitRecord, profile: CropProfile, organisms: Mapping[str, Organism]
) -> tuple[tuple[str, str], ...]:
    """Return (organism, decision in words) lines for the side panel."""
    return tuple(
        (_(found.organism.name), f"{_(found.decision.value)}: {found.reason}")
        for found in verdicts(record, profile, organisms)
    )
