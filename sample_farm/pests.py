"""Pests and disease: how far each outbreak has got in each bay, and what the checks and sticky cards showed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from random import Random
from typing import Any

from bayround.facts.rounds import CardCount, PestCheck
from bayround.facts.weeks import Week

from .chance import binomial, fact_id, half_up, poisson, stream
from .scenario import CheckPlan, Scenario, TreatmentPlan
from .walks import PlannedVisit

Shares = Mapping[tuple[str, str, Week], float]
"""(bay, organism, week) → share of the parts infested, where an outbreak runs."""


def outbreaks(scenario: Scenario, planned: tuple[PlannedVisit, ...]) -> Shares:
    """Play every outbreak from week to week: odds grow, treatments clean, natural enemies turn the growth."""
    day_of = {(visit.bay.name, visit.week): visit.day for visit in planned}
    shares: dict[tuple[str, str, Week], float] = {}
    for outbreak in scenario.tables["outbreak"]:
        for place in outbreak["bays"]:
            bay, organism = place["bay"], outbreak["organism"]
            treated = [plan for plan in scenario.treatments if bay in plan.bays and plan.target == organism]
            week = Week.parse(outbreak["first_week"]).plus(place["weeks_later"])
            share = outbreak["first_share"]
            while week <= scenario.weeks[-1]:
                shares[bay, organism, week] = share
                day = day_of.get((bay, week), week.sunday)
                share = _a_week_later(share, outbreak, treated, day)
                week = week.plus(1)
    return shares


def checks(
    scenario: Scenario, seed: int, planned: tuple[PlannedVisit, ...], shares: Shares
) -> tuple[PestCheck, ...]:
    """Return what was looked for and found at every visit."""
    where = {
        (place["bay"], outbreak["organism"]): place["where"]
        for outbreak in scenario.tables["outbreak"]
        for place in outbreak["bays"]
    }
    found = []
    for visit in planned:
        rng = stream(seed, visit.bay.name, "checks", visit.day)
        for organism, plan in scenario.checks[visit.bay.crop].items():
            share = shares.get((visit.bay.name, organism, visit.week), 0.0)
            infested = binomial(rng, plan.inspected, max(share, plan.usual_share))
            found.append(
                PestCheck(
                    id=fact_id(seed, visit.day, "check", visit.day, visit.bay.name, organism),
                    visit_id=visit.id,
                    organism=organism,
                    inspected_part=plan.part,
                    inspected=plan.inspected,
                    infested=infested,
                    counted=_counted(plan, infested, rng),
                    severity_percent=_severity(plan, infested),
                    where=where.get((visit.bay.name, organism), "") if share and infested else "",
                )
            )
    return tuple(found)


def cards(scenario: Scenario, seed: int, planned: tuple[PlannedVisit, ...]) -> tuple[CardCount, ...]:
    """Return the sticky cards: hung at one visit, counted and changed at the next."""
    table = scenario.tables["cards"]
    hung: dict[str, date] = {}
    found = []
    for visit in planned:
        hung_on = hung.get(visit.bay.name)
        hung[visit.bay.name] = visit.day
        if hung_on is None:
            continue
        days = (visit.day - hung_on).days
        rng = stream(seed, visit.bay.name, "cards", visit.day)
        for number in range(1, max(1, int(visit.bay.area_m2 / table["one_per_m2"] + 0.5)) + 1):
            for organism, per_day in table["per_day"].items():
                luck = 2.0 * rng.random()
                found.append(
                    CardCount(
                        id=fact_id(seed, visit.day, "card", visit.day, visit.bay.name, number, organism),
                        visit_id=visit.id,
                        card=f"{visit.bay.name}-{number}",
                        organism=organism,
                        count=poisson(rng, per_day * days * luck),
                        days_hung=days,
                        area_cm2=table["area_cm2"],
                        colour=table["colour"],
                    )
                )
    return tuple(found)


def _a_week_later(
    share: float, outbreak: Mapping[str, Any], treated: list[TreatmentPlan], day: date
) -> float:
    """Return the share infested a week after *day*."""
    released = [plan for plan in treated if plan.biological and plan.ended_at.date() < day]
    growth: float = outbreak["odds_grow_by_with_enemies" if released else "odds_grow_by"]
    odds = share / (1.0 - share) * growth
    grown = odds / (1.0 + odds)
    for plan in treated:
        if 0 <= (plan.ended_at.date() - day).days < 7:
            grown *= 1.0 - plan.removes
    return grown


def _counted(plan: CheckPlan, infested: int, rng: Random) -> int | None:
    if plan.per_find is None:
        return None
    return infested + sum(poisson(rng, 2.0 * rng.random() * (plan.per_find - 1.0)) for _ in range(infested))


def _severity(plan: CheckPlan, infested: int) -> float | None:
    if plan.severity_at_full is None:
        return None
    return half_up(plan.severity_at_full * (infested / plan.inspected) ** 2, 1.0)
