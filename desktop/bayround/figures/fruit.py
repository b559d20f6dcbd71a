"""Figures of fruit: load per plant, stem and m², new fruit, what is ready to pick."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bayround import words
from bayround.agronomy import fruit as reckon
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import ColourAim, Planting
from bayround.figures import balance, sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

LOAD_SOURCE = "Cochran 1977, Sampling Techniques, 3rd ed., ch. 2 and 6 (mean and ratio, finite population)"
FROM_STAGE = {
    "set": ("fruit_set", "fruit_green", "fruit_turning", "fruit_coloured"),
    "green": ("fruit_green", "fruit_turning", "fruit_coloured"),
    "turning": ("fruit_turning", "fruit_coloured"),
    "coloured": ("fruit_coloured",),
}
"""Fruit that is at a stage or beyond it."""


def figures(past: BayPast, profile: CropProfile | None) -> dict[str, Figure]:
    """Return the fruit figures of the newest visit (per plant, per stem, per m² of the bay's gross area)."""
    load = load_of(past, past.latest)
    found = _loads(past, load)
    found["fruit_set_since"] = _new_fruit(past)
    found["ripe_per_m2"] = _ready(past, profile)
    return found | balance.figures(past, profile, load)


def load_figure(past: BayPast, record: VisitRecord | None) -> Figure:
    """Return the fruit per m² of gross area at one visit."""
    return _loads(past, load_of(past, record))["fruit_per_m2"]


def load_of(past: BayPast, record: VisitRecord | None) -> reckon.FruitLoad | None:
    """Return the fruit load of one visit, or nothing where no fruit was counted."""
    carried = sampled.fruit_of(record)
    if past.planting is None or not carried:
        return None
    stems = {plant.id: plant.stems or past.planting.stems_per_plant for plant in past.plants}
    counts = [
        reckon.PlantCount(plant, fruit, stems.get(plant, past.planting.stems_per_plant))
        for plant, fruit in carried.items()
    ]
    standing = max(past.planting.plants, len(counts))
    load = reckon.fruit_load(counts, plants_standing=standing, area_m2=past.bay.area_m2)
    return (
        _without_limits(load) if sampled.scatter_unknown(load.per_plant.standard_error, len(counts)) else load
    )


def _without_limits(load: reckon.FruitLoad) -> reckon.FruitLoad:
    """Return a load whose interval can't be known."""

    def bare(estimate: reckon.LoadEstimate) -> reckon.LoadEstimate:
        return replace(estimate, standard_error=None, low=None, high=None)

    return reckon.FruitLoad(
        bare(load.per_stem), bare(load.per_plant), bare(load.per_m2), bare(load.in_planting)
    )


def _loads(past: BayPast, load: reckon.FruitLoad | None) -> dict[str, Figure]:
    counted = _("Set, green, turning and coloured fruit of the marked plants")
    per_m2 = (
        words.number(past.planting.plants / past.bay.area_m2, 2)
        if past.planting is not None
        else words.MISSING
    )
    rows = (
        (
            "fruit_per_plant",
            _("Fruit per plant"),
            _("fruit/plant"),
            load.per_plant if load else None,
            counted + ".",
        ),
        (
            "fruit_per_stem",
            _("Fruit per stem"),
            _("fruit/stem"),
            load.per_stem if load else None,
            counted + _(" ÷ their stems."),
        ),
        (
            "fruit_per_m2",
            _("Fruit load"),
            _("fruit/m²"),
            load.per_m2 if load else None,
            counted + _(" × plants per m² of the bay's gross area."),
        ),
    )
    found = {}
    for figure_id, label, unit, estimate, rule in rows:
        plants = str(estimate.plants) if estimate else "0"
        inputs = ((_("Plants counted"), plants), (_("Plants per m²"), per_m2))
        found[figure_id] = _figure(
            figure_id, label, unit, estimate, Why(rule, inputs, LOAD_SOURCE, "published")
        )
    return found


def _figure(figure_id: str, label: str, unit: str, estimate: reckon.LoadEstimate | None, why: Why) -> Figure:
    if estimate is None:
        return Figure(figure_id, label, None, unit, 1, why, missing=_("No fruit was counted at this visit."))
    return Figure(
        figure_id,
        label,
        estimate.value,
        unit,
        1,
        why,
        low=estimate.low,
        high=estimate.high,
        n=estimate.plants,
        n_of="plants",
    )


def _new_fruit(past: BayPast) -> Figure:
    label, unit = _("Fruit gained"), _("fruit/plant")
    rule = _(
        "Fruit now − fruit before + fruit picked from the plant, same marked plants; net of fruit that fell. Picked fruit counts only where it is keyed in."
    )
    latest, previous = past.latest, past.previous
    now, before = sampled.fruit_of(latest), sampled.fruit_of(previous)
    why = Why(rule, (), LOAD_SOURCE, "published")
    missing = Figure(
        "fruit_set_since",
        label,
        None,
        unit,
        1,
        why,
        missing=_("Needs the same plants counted at two visits."),
    )
    if latest is None or previous is None or past.planting is None or latest.day <= previous.day:
        return missing
    days = (latest.day - previous.day).days
    since = reckon.fruit_set_since(
        before,
        now,
        days=days,
        plants_standing=max(past.planting.plants, len(now)),
        picked=sampled.values_of(latest, "fruit_picked"),
    )
    if since is None:
        return missing
    names = {plant.id: str(plant.number) for plant in past.plants}
    inputs = [(_("Days between"), str(days)), (_("Plants counted both times"), str(since.per_plant.plants))]
    if since.plants_with_loss:
        lost = words.listing([names.get(plant, "?") for plant in since.plants_with_loss])
        inputs.append((_("Plants with fewer fruit than before"), lost))
    return _figure(
        "fruit_set_since", label, unit, since.per_plant, Why(rule, tuple(inputs), LOAD_SOURCE, "published")
    )


def pick_stage(profile: CropProfile, planting: Planting) -> str:
    """Return the stage at which a planting is picked: the crop's usual one, green where it is grown for green."""
    if planting.colour_aim is ColourAim.GREEN and "green" in profile.pick_stages:
        return "green"
    return profile.pick_stages[0]


def _ready(past: BayPast, profile: CropProfile | None) -> Figure:
    label, unit = _("Ready to pick"), _("fruit/m²")
    if profile is None or past.planting is None:
        return sampled.mean_figure("ripe_per_m2", label, {}, unit, 1, None, "")
    stage = pick_stage(profile, past.planting)
    ripe = _at_or_beyond(past.latest, FROM_STAGE[stage])
    rule = _("Fruit at the stage it is picked at ({stage}) or beyond × plants per m² of the bay.").format(
        stage=_(stage)
    )
    per_m2 = past.planting.plants / past.bay.area_m2
    inputs = ((_("Plants per m²"), words.number(per_m2, 2)),)
    return sampled.mean_figure(
        "ripe_per_m2", label, ripe, unit, 1, past.planting.plants, rule, inputs, scale=per_m2, floor=0.0
    )


def _at_or_beyond(record: VisitRecord | None, fields: tuple[str, ...]) -> Mapping[str, float]:
    taken = [sampled.values_of(record, field) for field in fields]
    seen = sorted(set().union(*taken))
    return {plant: sum(one.get(plant, 0.0) for one in taken) for plant in seen}
