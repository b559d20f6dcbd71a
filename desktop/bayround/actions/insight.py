"""What one bay's past tells beyond the week: growth curve, forecast with its record, how many plants, scouts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from bayround.actions.farm import OpenFarm
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.problems import Refused
from bayround.figures import (
    all_bays,
    colour_choice,
    comparison,
    families,
    forecast_record,
    pick_page,
    pressure,
    sample_size,
    scouts,
    trellis_load,
    trend,
)
from bayround.figures.colour_choice import ChoiceInputs, ColourChoice
from bayround.figures.comparison import BayComparison
from bayround.figures.figure import Figure
from bayround.figures.forecast_record import ScoredForecast
from bayround.figures.pick_page import ForecastLine
from bayround.figures.trellis_load import TrellisLoad, Wire
from bayround.records import read_season
from bayround.words import _

__all__ = [
    "BayComparison", "BayInsight", "ChoiceInputs", "ColourChoice", "ForecastLine", "ScoredForecast", "ScoutsSeen",
    "TrellisLoad", "Wire", "compare", "green_or_coloured", "read", "sizes_of", "wire_load",
]  # fmt: skip

COMPARED = tuple(sample_size.MEASURES)
"""Figures by which two bays can be compared."""


@dataclass(frozen=True, slots=True)
class ScoutsSeen:
    """Two scouts: what they agree on where both measured the same plants, and what a change of scout does."""

    first: str
    second: str
    agreement: tuple[Figure, ...]
    switch: Figure | None
    sentence: str


@dataclass(frozen=True, slots=True)
class BayInsight:
    """All that the further pages of the Bay screen show of one bay; frozen, read once."""

    past: BayPast
    pasts: tuple[BayPast, ...]
    trend: Figure
    curve: Mapping[str, Figure]
    curve_points: tuple[tuple[date, float], ...]
    sizes: tuple[Figure, ...]
    size_sentences: tuple[str, ...]
    over_time: tuple[Figure, ...]
    all_bays: tuple[Figure, ...]
    forecast: tuple[ForecastLine, ...]
    record: Mapping[int, Mapping[str, Figure]]
    farm_record: Mapping[int, Mapping[str, Figure]]
    record_sentence: str
    scored: tuple[ScoredForecast, ...]
    scouts: tuple[ScoutsSeen, ...]
    scout_changed: bool
    choice: ChoiceInputs | None
    wire: Wire | None
    currency: str


def read(farm: OpenFarm, bay_id: str, today: date) -> BayInsight:
    """Return the further pages of one bay, as known today. Runs on the farm's thread.

    Raises:
        Refused: when the bay is not in use.
    """
    season = read_season.read_season(farm.store)
    pasts = gather(season, today)
    past = next((one for one in pasts if one.bay.id == bay_id), None)
    if past is None:
        raise Refused(_("This bay is not in use any more."), to_do=_("Choose another one with Ctrl+K."))
    profile = farm.crops.profile(past.planting.crop) if past.planting else None
    curve = trend.curve(past)
    scores = forecast_record.scores_of(past, today)
    every = [forecast_record.scores_of(one, today) for one in pasts]
    ahead = forecast_record.WEEKS_AHEAD
    record = {weeks: forecast_record.figures([scores], weeks) for weeks in ahead}
    people = {person.id: person.name for person in season.people}
    sizes, sentences = sizes_of(farm, past)
    return BayInsight(
        past=past,
        pasts=pasts,
        trend=trend.trend(past),
        curve=trend.curve_figures(past, curve),
        curve_points=() if isinstance(curve, str) else trend.points_of(curve),
        sizes=sizes,
        size_sentences=sentences,
        over_time=tuple(families.over_time(past, farm.crops, today).values()),
        all_bays=_all_bays(farm, pasts, past),
        forecast=pick_page.lines(past, profile) if profile else (),
        record=record,
        farm_record={weeks: forecast_record.figures(every, weeks) for weeks in ahead},
        record_sentence=forecast_record.sentence(record[1]),
        scored=scores.scored,
        scouts=_scouts(pasts, people),
        scout_changed=scouts.changed_scout(past),
        choice=colour_choice.starting_inputs(past, profile, season.prices, today) if profile else None,
        wire=_usual_wire(past),
        currency=season.farm.currency,
    )


def sizes_of(
    farm: OpenFarm, past: BayPast, percent: float | None = None
) -> tuple[tuple[Figure, ...], tuple[str, ...]]:
    """Return how many marked plants and inspected units are enough in a bay, as figures and in sentences."""
    if past.planting is None:
        return (), ()
    profile = farm.crops.profile(past.planting.crop)
    keys = ("height_cm", "growth_cm_week", "fruit_per_plant")
    figures = [sample_size.marked_plants(past, profile, key, percent) for key in keys]
    sentences = [sample_size.marked_sentence(past, profile, key, percent) for key in keys]
    told: set[int] = set()
    for (count, whole), act_percent in sorted(_clean(farm, past, profile.key).items()):
        figures += [] if count in told else [sample_size.largest_missed(count)]
        if count in told and act_percent is None:
            continue
        told.add(count)
        plants = past.planting.plants if whole else None
        sentences.append(sample_size.detection_sentence(count, act_percent, plants))
    return tuple(figures), tuple(sentences)


def _clean(farm: OpenFarm, past: BayPast, crop: str) -> dict[tuple[int, bool], float | None]:
    """Return how many clean units were inspected, and whether they were whole plants → the lowest action threshold (%) of what was looked for."""
    found: dict[tuple[int, bool], float | None] = {}
    for check in past.latest.checks if past.latest else ():
        if check.infested or not check.inspected:
            continue
        organism = farm.crops.organisms.get(check.organism)
        known = organism.threshold_for(crop, "incidence_percent") if organism else None
        key = (check.inspected, check.inspected_part == "plant")
        levels = [one for one in (found.get(key), known.value if known else None) if one]
        found[key] = min(levels, default=None)
    return found


def compare(first: BayPast, second: BayPast, figure_id: str) -> BayComparison:
    """Tell whether two bays can be told apart in one of `COMPARED`, from their newest visits."""
    return comparison.compare_bays(first, second, figure_id)


def starting_choice(
    farm: OpenFarm, past: BayPast, green: float, coloured: float, today: date
) -> ChoiceInputs:
    """Return the inputs of green or coloured for two prices typed in.

    Raises:
        Refused: when no crop stands in the bay.
    """
    if past.planting is None:
        raise Refused(_("No crop stands in this bay."))
    return colour_choice.with_prices(past, farm.crops.profile(past.planting.crop), green, coloured, today)


def with_typed(
    start: ChoiceInputs,
    loss_percent: float | None = None,
    days_to_colour: float | None = None,
    later_fruit: float | None = None,
    later_value: float | None = None,
) -> ChoiceInputs:
    """Return the inputs with what was typed in place of the starting values; nothing typed leaves them."""
    return replace(
        start,
        loss_percent=start.loss_percent if loss_percent is None else loss_percent,
        days_to_colour=start.days_to_colour if days_to_colour is None else days_to_colour,
        later_fruit_per_fruit_week=later_fruit or 0.0,
        later_fruit_value=later_value or 0.0,
    )


def green_or_coloured(past: BayPast, given: ChoiceInputs) -> ColourChoice:
    """Return the value of picking green now against waiting for colour.

    Raises:
        Refused: when no green fruit hangs, or a number given is impossible.
    """
    try:
        found = colour_choice.choose(past, given)
    except ValueError as error:
        raise Refused(_("These numbers can't be right: {why}.").format(why=error)) from error
    if isinstance(found, str):
        raise Refused(found)
    return found


def wire_load(farm: OpenFarm, past: BayPast, wire: Wire) -> TrellisLoad:
    """Return mass and pull on one span of wire, with the caution that belongs to it.

    Raises:
        Refused: when no fruit was counted, or a number given is impossible.
    """
    if past.planting is None:
        raise Refused(_("No crop stands in this bay."))
    try:
        found = trellis_load.load(past, farm.crops.profile(past.planting.crop), wire)
    except ValueError as error:
        raise Refused(_("These numbers can't be right: {why}.").format(why=error)) from error
    if isinstance(found, str):
        raise Refused(found)
    return found


def wire_caution() -> str:
    """Return the caution that stands wherever a load on a wire is shown."""
    return trellis_load.caution()


def plants_on_span(past: BayPast, span_m: float, wires_per_row: int = 1) -> float | None:
    """Return how many plants hang on one span when the plants stand evenly in the rows."""
    return trellis_load.plants_on_span(past, span_m, wires_per_row)


def _usual_wire(past: BayPast) -> Wire | None:
    """Return a span to begin with: 3 m with 5 cm sag, the plants of the row evenly on it."""
    plants = trellis_load.plants_on_span(past, 3.0)
    return None if plants is None else Wire(3.0, 0.05, round(plants, 1))


def _all_bays(farm: OpenFarm, pasts: tuple[BayPast, ...], past: BayPast) -> tuple[Figure, ...]:
    """Return means and incidence over all bays of the same crop, incidence of what was found in any of them lately."""
    if past.planting is None or past.latest is None:
        return ()
    crop = past.planting.crop
    alike = [one for one in pasts if one.planting is not None and one.planting.crop == crop]
    days = int(farm.crops.profile(crop).number("round_late_days").value)
    since = date.fromordinal(past.latest.day.toordinal() - days)
    keys = {check.organism for one in alike if one.latest for check in one.latest.checks if check.infested}
    organisms = farm.crops.organisms
    means = (
        all_bays.mean_over_bays(alike, key, since, len(alike)) for key in ("height_cm", "fruit_per_plant")
    )
    return *means, *(
        pressure.over_bays(alike, key, _(organisms[key].name) if key in organisms else key, since, len(alike))
        for key in sorted(keys)
    )


def _scouts(pasts: tuple[BayPast, ...], people: Mapping[str, str]) -> tuple[ScoutsSeen, ...]:
    agreed = {(pair.first_id, pair.second_id): pair for pair in scouts.pairs(pasts)}
    switched = scouts.switch_effects(pasts)
    found = []
    for first, second in sorted(agreed.keys() | switched.keys()):
        names = people.get(first, "?"), people.get(second, "?")
        pair, switch = agreed.get((first, second)), switched.get((first, second))
        figures: tuple[Figure, ...] = ()
        if pair is not None:
            figures = (*scouts.height_agreement(pair).values(), *scouts.count_agreement(pair).values())
        said = scouts.sentence(switch, *names) if switch else ""
        labelled = _labelled(switch, *names) if switch else None
        found.append(ScoutsSeen(*names, figures, labelled, said))
    return tuple(found)


def _labelled(switch: Figure, first: str, second: str) -> Figure:
    """Return the figure named after the scout who reads more, so that it is never below zero."""
    more, less = (first, second) if (switch.value or 0) >= 0 else (second, first)
    label = _("{first} reads more than {second}").format(first=more, second=less)
    if more == first or switch.value is None:
        return replace(switch, label=label)
    low = None if switch.high is None else -switch.high
    high = None if switch.low is None else -switch.low
    return replace(switch, label=label, value=-switch.value, low=low, high=high)
