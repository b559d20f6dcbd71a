"""Fruit balance: more fruit than the crop's band for its age."""

from __future__ import annotations

from bayround import words
from bayround.agronomy.fruit_band import LoadVerdict
from bayround.facts.work import JobKind
from bayround.figures import balance, fruit
from bayround.jobs import hours
from bayround.jobs.case import Case
from bayround.jobs.job import Job
from bayround.words import _


def rule(case: Case) -> list[Job]:
    """Return the balancing job when the whole interval of the load lies above the band."""
    over = case.figures["load_over_band"].value
    load = fruit.load_of(case.past, case.visit) if over is not None and over > 0 else None
    if load is None:
        return []
    judged = balance.judgement(case.past, case.visit, case.profile, load)
    take = balance.thinning(case.past, case.visit, case.profile)
    band = balance.band_of(case.profile, case.planting, case.visit.day)
    if judged is None or judged.verdict is not LoadVerdict.OVERLOADED or take is None or band is None:
        return []
    labels = {plant.id: plant.label for plant in case.past.plants}
    heavy = tuple(labels[plant] for plant in judged.plants_above if plant in labels)
    reason = _("{load} fruit/m² against a band of {band}: leave at most {leave} fruit on a plant").format(
        load=case.figures["fruit_per_m2"].text, band=balance.band_text(band), leave=take.leave_at_most
    )
    reason += words.counted(
        ", about {n} off a plant that has more; the youngest first.",
        ", about {n} off each plant that has more; the youngest first.",
        take.usual_fruit_off,
    )
    plants = take.plants_in_planting[0]
    norm = case.profile.number("labour_balance_h_per_1000_plants")
    estimated = hours.by_norm(
        norm, plants, 1000, hours.plants_text(plants), case.own_rates.get(JobKind.BALANCE)
    )
    due = case.due_on("balance_due_days")
    numbers = ("fruit_per_m2", "load_over_band", "fruit_to_remove", "fruit_cv_percent")
    return [case.job(JobKind.BALANCE, reason, due, 2, estimated, numbers, plants=heavy)]
