"""From a crop's field and a plant's last reading to what one cell takes."""

from __future__ import annotations

from bayround.crops.profile import ReadingField
from bayround.facts.farm import MarkedPlant
from bayround.window.parts.number_entry import NumberRule
from bayround.words import _


def reading_rule(field: ReadingField, plant: MarkedPlant, last: float | None, weeks: float) -> NumberRule:
    """Return the limits of one cell.

    What is likely is bounded by the field's own range and, where the plant was read before, by the largest
    rise in *weeks* (at least one) and, for numbers that never fall, by the last reading less the error of
    measuring.
    """
    low, high = field.soft_low, field.soft_high
    if last is not None and field.max_rise_per_week is not None:
        high = min(high, last + field.max_rise_per_week * max(1.0, weeks))
    if last is not None and field.monotone:
        low = max(low, last - field.measuring_error)
    label = _("{field} of plant {number}").format(field=_(field.label), number=plant.number)
    return NumberRule(label, field.unit, field.decimals, field.hard_low, field.hard_high, low, high)
