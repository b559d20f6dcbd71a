"""Figures of what was picked: per plant, fruit, against what was foreseen for the week. Areas are gross."""

from __future__ import annotations

from datetime import date

from bayround import words
from bayround.facts.bay_past import BayPast
from bayround.facts.kept import Forecast
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure, Why
from bayround.words import _

ALWAYS = (
    "picked_kg_plant",
    "picked_fruit",
    "picked_fruit_m2",
    "foreseen_kg_week",
    "picked_of_foreseen_percent",
)
"""Figures that need no visit in the week."""


def done(past: BayPast, as_of: date) -> dict[str, Figure]:
    """Return kg per plant (planted), fruit, fruit per m² of gross area, and the week against its forecast."""
    kg = sum(pick.kg for pick in past.picks)
    found = [_per_plant(past, kg), *_fruit(past), *_against_forecast(past, as_of)]
    return {figure.id: figure for figure in found}


def _per_plant(past: BayPast, kg: float) -> Figure:
    plants = past.planted or (past.planting.plants if past.planting else 0)
    why = Why(
        _("Kilograms written down for this planting ÷ plants planted."),
        ((_("Picked"), f"{words.number(kg, 1)} kg"), (_("Plants planted"), str(plants))),
    )
    value = kg / plants if past.picks and plants else None
    missing = "" if value is not None else _("No pick is written down.")
    return Figure(
        "picked_kg_plant",
        _("Picked per plant"),
        value,
        _("kg/plant"),
        2,
        why,
        n=len(past.picks) or None,
        n_of="picks",
        missing=missing,
    )


def _fruit(past: BayPast) -> list[Figure]:
    counted = [pick for pick in past.picks if pick.fruit is not None]
    fruit = sum(pick.fruit or 0 for pick in counted)
    left_out = len(past.picks) - len(counted)
    inputs = (
        (_("Picks with counted fruit"), str(len(counted))),
        (_("Picks without"), str(left_out)),
        (_("Area"), f"{words.number(past.bay.area_m2, 0)} m² ({_('gross')})"),
    )
    whole = bool(counted) and not left_out
    missing = "" if whole else _("Fruit was not counted at every pick.")
    rows = (
        ("picked_fruit", _("Fruit picked to date"), float(fruit), _("fruit"), 0, _("Fruit written down.")),
        (
            "picked_fruit_m2",
            _("Fruit picked to date per m²"),
            fruit / past.bay.area_m2,
            _("fruit/m²"),
            1,
            _("Fruit written down ÷ gross area of the bay."),
        ),
    )
    return [
        Figure(
            key,
            label,
            value if whole else None,
            unit,
            places,
            Why(rule, inputs),
            n=len(counted) or None,
            n_of="picks",
            missing=missing,
        )
        for key, label, value, unit, places, rule in rows
    ]


def _against_forecast(past: BayPast, as_of: date) -> list[Figure]:
    week = Week.of(as_of)
    said = newest_forecast(past, week)
    monday, sunday = week.monday, week.sunday
    picked = sum([pick.kg for pick in past.picks if monday <= pick.picked_on <= sunday])
    rule = _("The newest forecast that was made before the week began, as it was said then.")
    made = ((_("Week"), str(week)), (_("Made on"), words.day(said.made_on if said else None)))
    missing = "" if said else _("Nothing was foreseen for this week before it began.")
    foreseen = Figure(
        "foreseen_kg_week",
        _("Foreseen for this week"),
        said.kg if said else None,
        "kg",
        0,
        Why(rule, made),
        said.kg_low if said else None,
        said.kg_high if said else None,
        said.level if said else 0.8,
        missing=missing,
    )
    share = picked / said.kg * 100 if said and said.kg > 0 else None
    inputs = (*made, (_("Picked so far"), f"{words.number(picked, 1)} kg"))
    if said and share is None:
        missing = _("Nothing was foreseen to be ripe this week.")
    against = Figure(
        "picked_of_foreseen_percent",
        _("Picked of what was foreseen"),
        share,
        "%",
        0,
        Why(
            _("Kilograms picked in the week up to this day ÷ kilograms foreseen for the whole week."), inputs
        ),
        missing=missing,
        says=_says(picked, said) if share is not None and said else "",
    )
    return [foreseen, against]


def newest_forecast(past: BayPast, week: Week) -> Forecast | None:
    """Return the newest forecast of a week that was made before it began."""
    name, monday = str(week), week.monday
    made = [said for said in past.forecasts if said.for_week == name and said.made_on < monday]
    return max(made, key=lambda said: said.made_on, default=None)


def _says(picked: float, said: Forecast) -> str:
    if picked > said.kg_high:
        return _("more than foreseen")
    return _("inside what was foreseen") if picked >= said.kg_low else _("below what was foreseen so far")
