"""Pick green now, or wait for colour? Money per m² of the fruit that hangs green today.

Plain bookkeeping, no published model: what the fruit fetches now, against what is left of it when
coloured, less the later fruit that its hanging on the plant costs. That older fruit hold back the set of
younger ones is published (Marcelis et al. 2004, Journal of Experimental Botany 55:2261-2268: abortion
follows the growth of the older, competing fruit); how much one waiting fruit costs is the farm's own
number.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from bayround.agronomy.guards import not_negative_number, share_from_none_to_all
from bayround.agronomy.inputs import positive_number

__all__ = ["Advice", "Choice", "ChoiceCase", "ChoiceRow", "choice_table", "green_or_coloured"]


class Advice(StrEnum):
    """What the figures say; `DEPENDS_ON_LOSSES` when the low and the high loss point different ways."""

    PICK_NOW = "pick_now"
    WAIT = "wait"
    DEPENDS_ON_LOSSES = "depends_on_losses"


@dataclass(frozen=True, slots=True)
class ChoiceCase:
    """The fruit that hang green today, and what is known of prices and waiting.

    fruit_per_m2: green fruit ready to pick, fruit/m². green_fruit_kg, coloured_fruit_kg: one fruit at
    each pick, kg. green_price_per_kg, coloured_price_per_kg: what is left after picking and selling,
    money/kg. loss_share: share of the fruit lost or downgraded to nothing before it is coloured
    (loss_share_low, loss_share_high: how sure that is; left out, taken as known). days_to_colour: d.
    later_fruit_lost_per_fruit_day: fruit not set because one fruit hangs one day longer.
    later_fruit_value: money that one such later fruit would have brought.
    """

    fruit_per_m2: float
    green_fruit_kg: float
    coloured_fruit_kg: float
    green_price_per_kg: float
    coloured_price_per_kg: float
    loss_share: float
    days_to_colour: float
    later_fruit_lost_per_fruit_day: float = 0.0
    later_fruit_value: float = 0.0
    loss_share_low: float | None = None
    loss_share_high: float | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """Money per m² of both ways. ``break_even_loss_share`` is None when even no loss does not pay."""

    value_now_per_m2: float
    value_coloured_per_m2: float
    later_set_cost_per_m2: float
    value_waiting_per_m2: float
    advantage_of_waiting_per_m2: float
    advantage_low_per_m2: float
    advantage_high_per_m2: float
    break_even_coloured_price_per_kg: float
    break_even_price_ratio: float
    break_even_loss_share: float | None
    advice: Advice


@dataclass(frozen=True, slots=True)
class ChoiceRow:
    """One line of the table: coloured price over green price, loss, and what waiting gains per m²."""

    price_ratio: float
    coloured_price_per_kg: float
    loss_share: float
    advantage_of_waiting_per_m2: float
    advice: Advice


def _require_case(case: ChoiceCase) -> tuple[float, float]:
    """Check every number; give the low and the high loss share."""
    for name in ("fruit_per_m2", "green_fruit_kg", "coloured_fruit_kg", "green_price_per_kg"):
        positive_number(getattr(case, name), name)
    for name in (
        "coloured_price_per_kg",
        "days_to_colour",
        "later_fruit_lost_per_fruit_day",
        "later_fruit_value",
    ):
        not_negative_number(getattr(case, name), name)
    low = case.loss_share if case.loss_share_low is None else case.loss_share_low
    high = case.loss_share if case.loss_share_high is None else case.loss_share_high
    for name, share in (("loss_share", case.loss_share), ("loss_share_low", low), ("loss_share_high", high)):
        if share_from_none_to_all(share, name) == 1:
            raise ValueError(f"{name} must be below 1: with every fruit lost there is nothing to choose")
    if not low <= case.loss_share <= high:
        raise ValueError("loss_share must lie between loss_share_low and loss_share_high")
    return low, high


def _advice(least: float, most: float) -> Advice:
    if least > 0:
        return Advice.WAIT
    return Advice.PICK_NOW if most <= 0 else Advice.DEPENDS_ON_LOSSES


def green_or_coloured(case: ChoiceCase) -> Choice:
    """Value of picking green now against waiting for colour, money/m², and where the two meet.

    now = fruit x green kg x green price; waiting = fruit x (1 - loss) x coloured kg x coloured price
    - fruit x days x later fruit lost per fruit and day x value of a later fruit. The break-even price
    ratio is the coloured price, over the green one, at which waiting gains nothing. At an exact tie the
    advice is to pick: waiting only adds risk.
    Errors: ValueError when a number is negative or not finite, a share is outside 0 to 1, or all is lost.
    """
    low, high = _require_case(case)
    now = case.fruit_per_m2 * case.green_fruit_kg * case.green_price_per_kg
    unlost = case.fruit_per_m2 * case.coloured_fruit_kg * case.coloured_price_per_kg
    later = case.fruit_per_m2 * case.days_to_colour * case.later_fruit_lost_per_fruit_day
    later_cost = later * case.later_fruit_value
    coloured = unlost * (1 - case.loss_share)
    coloured_kg = case.fruit_per_m2 * (1 - case.loss_share) * case.coloured_fruit_kg
    even_price = (now + later_cost) / coloured_kg
    least, most = unlost * (1 - high) - later_cost - now, unlost * (1 - low) - later_cost - now
    return Choice(
        value_now_per_m2=now,
        value_coloured_per_m2=coloured,
        later_set_cost_per_m2=later_cost,
        value_waiting_per_m2=coloured - later_cost,
        advantage_of_waiting_per_m2=coloured - later_cost - now,
        advantage_low_per_m2=least,
        advantage_high_per_m2=most,
        break_even_coloured_price_per_kg=even_price,
        break_even_price_ratio=even_price / case.green_price_per_kg,
        break_even_loss_share=1 - (now + later_cost) / unlost if unlost >= now + later_cost else None,
        advice=_advice(least, most),
    )


def choice_table(
    case: ChoiceCase, price_ratios: Sequence[float], loss_shares: Sequence[float]
) -> tuple[ChoiceRow, ...]:
    """What waiting gains per m² for each price ratio and loss share, ratios outermost.

    The other numbers are those of ``case``. Errors: ValueError as `green_or_coloured`, or an empty list.
    """
    if not price_ratios or not loss_shares:
        raise ValueError("a table needs at least one price ratio and one loss share")
    rows = []
    for ratio in price_ratios:
        price = case.green_price_per_kg * not_negative_number(ratio, "price_ratio")
        for loss in loss_shares:
            changed = replace(
                case,
                coloured_price_per_kg=price,
                loss_share=loss,
                loss_share_low=None,
                loss_share_high=None,
            )
            result = green_or_coloured(changed)
            rows.append(ChoiceRow(ratio, price, loss, result.advantage_of_waiting_per_m2, result.advice))
    return tuple(rows)
