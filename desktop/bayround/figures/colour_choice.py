"""Pick green now, or wait for colour? From prices, losses, ripening time and what waiting costs in later set."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from bayround import words
from bayround.agronomy import choice as reckon
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.money import Price
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.figures.pick_clock import PickClock, clock_of
from bayround.words import _

SOURCE = (
    "Bookkeeping on the numbers given; that hanging fruit hold back later set: Marcelis et al. 2004, "
    "J. Exp. Bot. 55:2261–2268"
)
RATIOS = (1.0, 1.25, 1.5, 1.75, 2.0)
LOSSES_BESIDE = (0.5, 1.0, 2.0)
"""The table shows these shares of the loss reckoned with."""


@dataclass(frozen=True, slots=True)
class ChoiceInputs:
    """What the choice rests on; prices in the farm's currency per kg, after picking and selling.

    *loss_percent*: fruit lost or downgraded to nothing while waiting (low and high: how sure that is).
    *days_to_colour*: how long a full-size green fruit waits. *later_fruit_per_fruit_week*: fruit not set
    because one fruit hangs one week longer; *later_fruit_value*: what one of them would have brought.
    """

    green_price_per_kg: float
    coloured_price_per_kg: float
    loss_percent: float
    days_to_colour: float
    green_fruit_g: float
    coloured_fruit_g: float
    loss_percent_low: float | None = None
    loss_percent_high: float | None = None
    later_fruit_per_fruit_week: float = 0.0
    later_fruit_value: float = 0.0


@dataclass(frozen=True, slots=True)
class ColourChoice:
    """The answer: figures, a table (price ratio, loss %, what waiting gains per m²), one sentence.

    *row_figures* is the gain of each row of the table as a figure that says how it came about.
    """

    figures: dict[str, Figure]
    rows: tuple[tuple[float, float, float], ...]
    row_figures: tuple[Figure, ...]
    advice: str
    sentence: str


def starting_inputs(
    past: BayPast, profile: CropProfile, prices: Iterable[Price], on: date
) -> ChoiceInputs | None:
    """Return what is known: newest prices on *on*, the profile's loss, weight and ripening time.

    Nothing when there is no price for green or for coloured fruit of this crop.
    """
    green, coloured = _prices(prices, profile.key, on)
    if green is None or coloured is None:
        return None
    return with_prices(past, profile, green, coloured, on)


def with_prices(
    past: BayPast, profile: CropProfile, green_per_kg: float, coloured_per_kg: float, on: date
) -> ChoiceInputs:
    """Return the inputs for two prices typed in; the rest from the crop profile."""
    weight = profile.number("fruit_weight_g").value
    return ChoiceInputs(
        green_price_per_kg=green_per_kg,
        coloured_price_per_kg=coloured_per_kg,
        loss_percent=100 * (1 - profile.number("chance_green_picked").value),
        days_to_colour=_days_to_colour(profile, clock_of(past, profile, on)),
        green_fruit_g=weight,
        coloured_fruit_g=weight,
    )


def _days_to_colour(profile: CropProfile, clock: PickClock) -> float:
    """Half the green stage (a fruit seen in it is in its middle on average) and the turning stage, in days."""
    days = profile.number("days_green_to_turning").value / 2
    days += profile.number("days_turning_to_coloured").value
    return days * clock.per_stage_day / clock.per_day


def _prices(prices: Iterable[Price], crop: str, on: date) -> tuple[float | None, float | None]:
    """Return the newest green price and the newest price of another colour, per kg; of several the best grade's."""
    known = [price for price in prices if price.crop == crop and price.valid_from <= on and price.colour]
    return (
        _newest([price for price in known if price.colour == "green"]),
        _newest([price for price in known if price.colour != "green"]),
    )


def _newest(prices: list[Price]) -> float | None:
    best = max(prices, key=lambda price: (price.valid_from, price.per_kg_hundredths), default=None)
    return None if best is None else best.per_kg_hundredths / 100


def choose(past: BayPast, given: ChoiceInputs) -> ColourChoice | str:
    """Return the choice for the green fruit that hang now, or why there is none.

    Raises:
        ValueError: when a number given is impossible (a negative price, a loss of 100 %).
    """
    green = sampled.values_of(past.latest, "fruit_green")
    if past.planting is None or past.latest is None or not green:
        return _("No green fruit was counted at the newest visit.")
    per_m2 = sum(green.values()) / len(green) * past.planting.plants / past.bay.area_m2
    if per_m2 == 0:
        return _("No full-size green fruit hangs in this bay.")
    case = _case(given, per_m2)
    found = reckon.green_or_coloured(case)
    figures, rows = _figures(found, _inputs(given, per_m2, len(green)), len(green)), _rows(case, given)
    return ColourChoice(
        figures=figures,
        rows=rows,
        row_figures=tuple(_row_figure(row, given, per_m2, len(green)) for row in rows),
        advice=found.advice.value,
        sentence=_sentence(found, given),
    )


def _figures(found: reckon.Choice, inputs: tuple[tuple[str, str], ...], plants: int) -> dict[str, Figure]:
    low, high = sorted((found.advantage_low_per_m2, found.advantage_high_per_m2))
    ratio_rule = _("Coloured price ÷ green price at which picking now and waiting bring the same per m².")
    gain_rule = _("Value coloured − cost in later fruit − value green. From the low to the high loss.")
    return {
        "break_even_price_ratio": Figure(
            "break_even_price_ratio",
            _("Waiting pays from"),
            found.break_even_price_ratio,
            _("× the green price"),
            2,
            Why(ratio_rule, inputs, SOURCE, "published"),
            n=plants,
            n_of="plants",
        ),
        "gain_of_waiting_per_m2": Figure(
            "gain_of_waiting_per_m2",
            _("Gain of waiting"),
            found.advantage_of_waiting_per_m2,
            _("per m²"),
            2,
            Why(gain_rule, inputs, SOURCE, "published"),
            low=low if low < high else None,
            high=high if low < high else None,
            n=plants,
            n_of="plants",
        ),
    }


def _case(given: ChoiceInputs, per_m2: float) -> reckon.ChoiceCase:
    low, high = given.loss_percent_low, given.loss_percent_high
    return reckon.ChoiceCase(
        fruit_per_m2=per_m2,
        green_fruit_kg=given.green_fruit_g / 1000,
        coloured_fruit_kg=given.coloured_fruit_g / 1000,
        green_price_per_kg=given.green_price_per_kg,
        coloured_price_per_kg=given.coloured_price_per_kg,
        loss_share=given.loss_percent / 100,
        days_to_colour=given.days_to_colour,
        later_fruit_lost_per_fruit_day=given.later_fruit_per_fruit_week / 7,
        later_fruit_value=given.later_fruit_value,
        loss_share_low=None if low is None else low / 100,
        loss_share_high=None if high is None else high / 100,
    )


def _rows(case: reckon.ChoiceCase, given: ChoiceInputs) -> tuple[tuple[float, float, float], ...]:
    losses = [min(0.99, given.loss_percent / 100 * part) for part in LOSSES_BESIDE]
    plain = replace(case, loss_share_low=None, loss_share_high=None)
    table = reckon.choice_table(plain, RATIOS, losses)
    return tuple((row.price_ratio, row.loss_share * 100, row.advantage_of_waiting_per_m2) for row in table)


def _row_figure(row: tuple[float, float, float], given: ChoiceInputs, per_m2: float, plants: int) -> Figure:
    """Return what waiting gains at a price ratio and a loss of the table."""
    ratio, loss_percent, gain = row
    coloured = given.green_price_per_kg * ratio
    at = replace(given, coloured_price_per_kg=coloured, loss_percent=loss_percent)
    rule = _("Value coloured − cost in later fruit − value green, at this price ratio and this loss.")
    why = Why(rule, _inputs(at, per_m2, plants), SOURCE, "published")
    label, unit = _("Gain of waiting"), _("per m²")
    return Figure("gain_of_waiting_at", label, gain, unit, 2, why, n=plants, n_of="plants")


def _inputs(given: ChoiceInputs, per_m2: float, plants: int) -> tuple[tuple[str, str], ...]:
    return (
        (_("Green fruit"), f"{words.number(per_m2, 1)} {_('fruit/m²')} ({plants} {_('plants')})"),
        (_("Price green, coloured"), _pair(given.green_price_per_kg, given.coloured_price_per_kg, 2, "/kg")),
        (_("Weight green, coloured"), _pair(given.green_fruit_g, given.coloured_fruit_g, 0, "g")),
        (_("Lost while waiting"), f"{words.number(given.loss_percent, 1)} %"),
        (_("Waits for colour"), f"{words.number(given.days_to_colour, 0)} {_('days')}"),
        (
            _("Later fruit lost for a fruit that hangs a week longer"),
            words.number(given.later_fruit_per_fruit_week, 2),
        ),
        (_("Value of a later fruit"), words.number(given.later_fruit_value, 2)),
    )


def _pair(first: float, second: float, decimals: int, unit: str) -> str:
    return f"{words.number(first, decimals)}, {words.number(second, decimals)} {unit}"


def _sentence(found: reckon.Choice, given: ChoiceInputs) -> str:
    ratio = words.number(found.break_even_price_ratio, 2)
    now = words.number(given.coloured_price_per_kg / given.green_price_per_kg, 2)
    gain = words.number(abs(found.advantage_of_waiting_per_m2), 2)
    if found.advice is reckon.Advice.WAIT:
        text = _(
            "Wait for colour: it brings {gain} more per m². It pays from {ratio} × the green price; now {now} ×."
        )
    elif found.advice is reckon.Advice.PICK_NOW:
        text = _(
            "Pick green now: waiting would bring {gain} less per m². It pays from {ratio} × the green price; now {now} ×."
        )
    else:
        text = _(
            "It depends on the losses: at about {gain} per m² between them. Waiting pays from {ratio} × the green price; now {now} ×."
        )
    return text.format(gain=gain, ratio=ratio, now=now)
