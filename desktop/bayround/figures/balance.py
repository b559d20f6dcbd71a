"""Fruit balance: the load against the crop's band for its age, and how many fruit to take off."""

from __future__ import annotations

from datetime import date

from bayround import words
from bayround.agronomy import fruit_band as reckon
from bayround.agronomy.fruit import FruitLoad
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Planting
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

SAYS = {
    reckon.LoadVerdict.OVERLOADED: "too much",
    reckon.LoadVerdict.UNDERLOADED: "too little",
    reckon.LoadVerdict.INSIDE: "in the band",
    reckon.LoadVerdict.UNEVEN: "uneven",
}
RULE = "Load − upper limit of the band, or load − lower limit where it lies below (negative); 0 inside the band. Too much or too little only when the whole interval lies outside."
TAKE_RULE = "Fruit above the most whole fruit a plant may carry by the band, averaged over the plants that have more, rounded up."

SPREAD_RULE = "Standard deviation ÷ mean of the fruit on the marked plants."
ROWS = (
    ("load_over_band", "Load against band", "fruit/m²", 1, RULE),
    ("fruit_to_remove", "Fruit to take off", "fruit/plant", 0, TAKE_RULE),
    ("fruit_cv_percent", "Unevenness of fruit", "%", 0, SPREAD_RULE),
)


def band_of(profile: CropProfile, planting: Planting, day: date) -> reckon.Band | None:
    """Return the band (fruit/m²) for the crop's age on *day*; nothing outside the weeks it covers."""
    points = [
        reckon.BandPoint(point.weeks_after_transplanting, point.low_per_m2, point.high_per_m2)
        for point in profile.load_band
    ]
    return reckon.band_at(points, planting.age_days(day) / 7)


def band_text(band: reckon.Band) -> str:
    """Return a band as ``10 to 30``."""
    return _("{low} to {high}").format(low=words.number(band.low, 0), high=words.number(band.high, 0))


def judgement(
    past: BayPast, record: VisitRecord, profile: CropProfile, load: FruitLoad
) -> reckon.LoadJudgement | None:
    """Return the verdict on a visit's load, or nothing where there is no band for the crop's age."""
    if past.planting is None:
        return None
    band = band_of(profile, past.planting, record.day)
    if band is None:
        return None
    per_m2 = past.planting.plants / past.bay.area_m2
    return reckon.judge_load(
        load.per_m2,
        band,
        {plant: fruit * per_m2 for plant, fruit in sampled.fruit_of(record).items()},
        greatest_variation=profile.number("unevenness_fruit_cv_percent").value / 100,
        most_outside_share=1.0,
    )


def thinning(past: BayPast, record: VisitRecord, profile: CropProfile) -> reckon.Thinning | None:
    """Return what a crew is told, in whole fruit; nothing where no marked plant is above the band."""
    if past.planting is None:
        return None
    band = band_of(profile, past.planting, record.day)
    carried = sampled.fruit_of(record)
    if band is None or not carried:
        return None
    m2_per_plant = past.bay.area_m2 / past.planting.plants
    per_plant = reckon.Band(band.low * m2_per_plant, band.high * m2_per_plant)
    if int(per_plant.high) < per_plant.low:
        return None
    return reckon.fruit_to_take_off(
        carried, per_plant, plants_standing=max(past.planting.plants, len(carried))
    )


def figures(past: BayPast, profile: CropProfile | None, load: FruitLoad | None) -> dict[str, Figure]:
    """Return load against band, fruit to take off, and unevenness, each missing with its reason."""
    record = past.latest
    if profile is None or past.planting is None or record is None or load is None:
        return _missing(_("No fruit was counted at this visit."))
    band = band_of(profile, past.planting, record.day)
    judged = judgement(past, record, profile, load)
    if band is None or judged is None:
        return _missing(_("The crop's band gives no load for this age."))
    value, n = load.per_m2.value, load.per_m2.plants
    over = value - band.high if value > band.high else min(0.0, value - band.low)
    says = _(SAYS[judged.verdict]) if judged.verdict in SAYS else _perhaps(value, band)
    take = thinning(past, record, profile)
    spread = None if judged.variation is None else judged.variation * 100
    point = profile.load_band[0]
    inputs = (
        (_("Load"), sampled.shown(value, 1, _("fruit/m²"))),
        (_("Band"), f"{band_text(band)} {_('fruit/m²')}"),
    )
    rows = {row[0]: Why(_(row[-1]), inputs, point.source, point.basis) for row in ROWS}
    rows["fruit_cv_percent"] = Why(_(SPREAD_RULE), ((_("Plants"), str(n)),))
    values = {
        "load_over_band": over,
        "fruit_to_remove": float(take.usual_fruit_off) if take else 0.0,
        "fruit_cv_percent": spread,
    }
    return {
        figure_id: Figure(
            figure_id,
            _(label),
            values[figure_id],
            _(unit),
            decimals,
            rows[figure_id],
            n=n,
            n_of="plants",
            missing="" if values[figure_id] is not None else _("Needs fruit on at least two plants."),
            says=says if figure_id == "load_over_band" else "",
        )
        for figure_id, label, unit, decimals, _rule in ROWS
    }


def _perhaps(load: float, band: reckon.Band) -> str:
    """Return the words for a load whose interval crosses a limit of the band."""
    if load > band.high:
        return _("perhaps too much")
    return _("perhaps too little") if load < band.low else _("probably in the band")


def _missing(reason: str) -> dict[str, Figure]:
    return {
        figure_id: Figure(figure_id, _(label), None, _(unit), decimals, Why(_(rule)), missing=reason)
        for figure_id, label, unit, decimals, rule in ROWS
    }
