"""What the checks of a visit say to do, by the organism file's thresholds: act, keep looking, leave it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from operator import attrgetter

from bayround import words
from bayround.agronomy import sequential
from bayround.crops.organisms import Organism, Threshold
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import VisitRecord
from bayround.facts.rounds import CardCount, PestCheck
from bayround.figures.pests import cards_by_organism, checks_by_organism
from bayround.words import _

_CHECKED = attrgetter("inspected_part", "inspected", "infested", "counted", "severity_percent")
_CAUGHT = attrgetter("count", "days_hung", "area_cm2")


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


@lru_cache(maxsize=256)
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
    record: VisitRecord | None,
    profile: CropProfile | None,
    organisms: Mapping[str, Organism],
    known: dict[object, Verdict] | None = None,
) -> tuple[Verdict, ...]:
    """Return what each organism's checks say to do, by the farm's thresholds.

    *known* keeps verdicts from visit to visit of one crop: the same numbers seen of the same organism say the same.
    """
    if record is None or profile is None:
        return ()
    checks, cards = checks_by_organism(record), cards_by_organism(record)
    seen = [key for key in sorted(checks.keys() | cards.keys()) if key in organisms]
    found = []
    for key in seen:
        numbers = _numbers(key, checks.get(key, []), cards.get(key, []))
        verdict = known.get(numbers) if known is not None else None
        if verdict is None:
            verdict = verdict_of(organisms[key], checks.get(key, []), cards.get(key, []), profile)
            if known is not None:
                known[numbers] = verdict
        found.append(verdict)
    return tuple(found)


def _numbers(organism: str, checks: Sequence[PestCheck], cards: Sequence[CardCount]) -> object:
    """Return all that a verdict rests on: the checks and cards without their keys."""
    return organism, tuple(_CHECKED(check) for check in checks), tuple(_CAUGHT(card) for card in cards)


def verdict_of(
    organism: Organism, checks: Sequence[PestCheck], cards: Sequence[CardCount], profile: CropProfile
) -> Verdict:
    """Return the strongest answer of an organism's thresholds: act, then keep looking, then leave."""
    inspected, infested = _totals(checks)
    answers = [_answer(threshold, checks, cards) for threshold in thresholds_used(organism, profile.key)]
    known = [answer for answer in answers if answer is not None]
    if not known:
        reason = _("no threshold is set for this crop; judge for yourself")
        return Verdict(organism, inspected, infested, Decision.NO_THRESHOLD, reason)
    order = (Decision.ACT, Decision.LOOK_MORE, Decision.CANNOT_TELL, Decision.LEAVE)
    decision, reason, urgent = min(known, key=lambda answer: (order.index(answer[0]), not answer[2]))
    return Verdict(organism, inspected, infested, decision, reason, urgent)


def thresholds_used(organism: Organism, crop: str) -> tuple[Threshold, ...]:
    """Return one threshold for each kind and part: the crop's own before one for any crop."""
    found: dict[tuple[str, str], Threshold] = {}
    for threshold in sorted(organism.thresholds_for(crop), key=lambda item: crop not in item.crops):
        if threshold.infested_from_count == 1:
            found.setdefault((threshold.kind, threshold.part), threshold)
    return tuple(found.values())


Answer = tuple[Decision, str, bool]


def _answer(threshold: Threshold, checks: Sequence[PestCheck], cards: Sequence[CardCount]) -> Answer | None:
    here = [check for check in checks if not threshold.part or check.inspected_part == threshold.part]
    if threshold.kind == "presence":
        return _by_presence(*_totals(checks))
    if threshold.kind == "card_per_day":
        return _by_cards(threshold, cards)
    if threshold.kind == "incidence_percent" and here:
        return _by_incidence(threshold, *_totals(here))
    if threshold.kind == "mean_per_unit":
        return _by_mean(threshold, here)
    if threshold.kind == "severity_percent":
        return _by_severity(threshold, here)
    return None


def _totals(checks: Sequence[PestCheck]) -> tuple[int, int]:
    """Return units inspected and infested, all checks together."""
    return sum([check.inspected for check in checks]), sum([check.infested for check in checks])


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
    if inspected == 0:
        return None
    plan = plan_of(threshold)
    percent = words.number(100 * infested / inspected, 0)
    counted = _("{found} of {n} infested, {percent} %").format(found=infested, n=inspected, percent=percent)
    if plan is None:
        above = infested / inspected * 100 >= threshold.value
        text = _("{counted}, threshold {limit} %.") if above else _("{counted}, below {limit} %.")
        decision = Decision.ACT if above else Decision.LEAVE
        return decision, text.format(counted=counted, limit=f"{threshold.value:g}"), False
    decided = sequential.decide(plan, inspected, infested)
    levels = _("by the stop plan: leave up to {low} %, act from {high} %").format(
        low=words.number(plan.leave_level * 100, 0), high=words.number(plan.act_level * 100, 0)
    )
    if decided.answer == "act":
        return Decision.ACT, f"{counted} ({levels}).", infested / inspected >= 2 * plan.act_level
    if decided.answer == "leave":
        return Decision.LEAVE, f"{counted} ({levels}).", False
    if decided.answer == "cannot tell":
        text = _("{counted} after the most that are worth looking at: between the limits.")
        return Decision.CANNOT_TELL, text.format(counted=counted), False
    return Decision.LOOK_MORE, f"{counted}; {_how_many_more(decided)}.", False


def _how_many_more(decided: sequential.SequentialDecision) -> str:
    if decided.clean_to_leave:
        return words.counted(
            "{n} more clean one and you can leave it",
            "{n} more clean ones and you can leave it",
            decided.clean_to_leave,
        )
    return words.counted("look at {n} more", "look at {n} more", decided.look_at_more)


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


def _by_cards(threshold: Threshold, cards: Sequence[CardCount]) -> Answer | None:
    if not cards:
        return None
    per_day = sum(card.count for card in cards) / sum(card.days_hung for card in cards)
    words_of = _("{mean} per card and day, threshold {limit}").format(
        mean=words.number(per_day, 2), limit=f"{threshold.value:g}"
    )
    if per_day >= threshold.value:
        return Decision.ACT, words_of + ".", per_day >= 2 * threshold.value
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
