"""Pick: enough fruit is ready for what the planting is grown for."""

from __future__ import annotations

from bayround import words
from bayround.facts.farm import ColourAim
from bayround.facts.work import JobKind
from bayround.figures import fruit
from bayround.jobs import hours
from bayround.jobs.case import Case
from bayround.jobs.job import Job
from bayround.words import _


def rule(case: Case) -> list[Job]:
    """Return the pick job when fruit ready to pick per m² reaches the profile's limit."""
    ready = case.figures["ripe_per_m2"]
    if ready.value is None:
        return []
    stage = fruit.pick_stage(case.profile, case.planting)
    green = stage == "green"
    limit = case.number("pick_green_per_m2" if green else "pick_coloured_per_m2")
    if ready.value < limit:
        return []
    weight_kg = case.number("fruit_weight_g") / 1000
    kilograms = ready.value * case.past.bay.area_m2 * weight_kg
    urgent = ready.value >= case.number("pick_urgent_times") * limit
    meant_green = case.planting.colour_aim is ColourAim.GREEN
    name = _("green fruit of picking size") if green and meant_green else _("fruit ready to pick")
    reason = _("{ready} {name} per m² (a pick pays from {limit}), about {kilograms} kg in the bay.").format(
        ready=ready.text, name=name, limit=words.number(limit, 1), kilograms=words.number(kilograms, 0)
    )
    rate = case.profile.number("labour_pick_kg_per_h")
    estimated = hours.by_rate(
        rate,
        kilograms,
        _("about {kilograms} kg").format(kilograms=words.number(kilograms, 0)),
        case.own_rates.get(JobKind.PICK),
    )
    due = case.due_on("pick_due_days_urgent" if urgent else "pick_due_days")
    return [
        case.job(JobKind.PICK, reason, due, 1 if urgent else 2, estimated, ("ripe_per_m2", "fruit_per_m2"))
    ]
