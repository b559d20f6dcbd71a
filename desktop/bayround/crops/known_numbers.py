"""Which numbers every crop profile must hold, in which unit, and what makes a value impossible.

The units are fixed here because the formulas of the program reckon in them; the values are in the crop files.
"""

from collections.abc import Mapping
from decimal import Decimal
from itertools import pairwise

from bayround.words import _, number

NUMBER_UNITS: Mapping[str, str] = {
    "plants_per_m2_low": "plants/m²",
    "plants_per_m2_high": "plants/m²",
    "stems_per_m2_low": "stems/m²",
    "stems_per_m2_high": "stems/m²",
    "tie_every_cm": "cm",
    "tie_urgent_cm": "cm",
    "top_wire_cm": "cm",
    "plant_mass_kg": "kg",
    "growth_cm_week_low": "cm/week",
    "growth_cm_week_high": "cm/week",
    "growth_cm_week_doubtful": "cm/week",
    "unevenness_cv_percent": "%",
    "unevenness_fruit_cv_percent": "%",
    "days_between_rounds": "days",
    "round_late_days": "days",
    "marked_plants_per_bay": "plants",
    "plants_checked_per_visit": "plants",
    "wanted_precision_percent": "%",
    "sticky_card_area_m2": "m²",
    "weed_cover_percent_act": "%",
    "weed_cover_percent_urgent": "%",
    "weed_free_until_weeks": "weeks",
    "fruit_weight_g": "g",
    "fruit_weight_sd_g": "g",
    "weeks_to_first_pick": "weeks",
    "pick_coloured_per_m2": "fruit/m²",
    "pick_green_per_m2": "fruit/m²",
    "days_flower_to_set": "days",
    "days_set_to_green": "days",
    "days_green_to_turning": "days",
    "days_turning_to_coloured": "days",
    "days_between_picks": "days",
    "duration_variation": "fraction",
    "clock_deviation_days": "days",
    "set_variation": "times",
    "forecast_week_deviation": "fraction",
    "forecast_factor_deviation": "fraction",
    "forecast_record_weeks": "weeks",
    "forecast_model_weeks": "weeks",
    "chance_profile_fruit": "fruit",
    "chance_flower_picked": "fraction",
    "chance_set_picked": "fraction",
    "chance_green_picked": "fraction",
    "chance_turning_picked": "fraction",
    "base_temperature_c": "°C",
    "upper_temperature_c": "°C",
    "heat_flower_to_pick_cd": "°C day",
    "vpd_low_kpa": "kPa",
    "vpd_high_kpa": "kPa",
    "trellis_due_days_urgent": "days",
    "trellis_due_days": "days",
    "balance_due_days": "days",
    "weed_due_days_urgent": "days",
    "weed_due_days": "days",
    "pest_due_days_urgent": "days",
    "pest_due_days": "days",
    "pick_due_days_urgent": "days",
    "pick_due_days": "days",
    "pick_urgent_times": "times",
    "round_urgent_times": "times",
    "labour_trellis_h_per_1000_stems": "h/1,000 stems",
    "labour_balance_h_per_1000_plants": "h/1,000 plants",
    "labour_weed_h_per_100_m2": "h/100 m²",
    "labour_pick_kg_per_h": "kg/h",
    "labour_scout_minutes_per_plant": "min/plant",
    "labour_farm_deviation": "fraction",
    "labour_job_deviation": "fraction",
}

# Each number must be smaller than the next one in its row.
RISING: tuple[tuple[str, ...], ...] = (
    ("plants_per_m2_low", "plants_per_m2_high"),
    ("stems_per_m2_low", "stems_per_m2_high"),
    ("tie_every_cm", "tie_urgent_cm", "top_wire_cm"),
    ("growth_cm_week_low", "growth_cm_week_high", "growth_cm_week_doubtful"),
    ("days_between_rounds", "round_late_days"),
    ("weed_cover_percent_act", "weed_cover_percent_urgent"),
    ("trellis_due_days_urgent", "trellis_due_days"),
    ("weed_due_days_urgent", "weed_due_days"),
    ("pest_due_days_urgent", "pest_due_days"),
    ("pick_due_days_urgent", "pick_due_days"),
    ("fruit_weight_sd_g", "fruit_weight_g"),
    ("base_temperature_c", "upper_temperature_c"),
    ("vpd_low_kpa", "vpd_high_kpa"),
)

# A fruit further on is at least as likely to be picked.
NEVER_FALLING: tuple[str, ...] = (
    "chance_flower_picked",
    "chance_set_picked",
    "chance_green_picked",
    "chance_turning_picked",
)

MAY_BE_ZERO: frozenset[str] = frozenset(
    {"plants_per_m2_low", "stems_per_m2_low", "growth_cm_week_low", "fruit_weight_sd_g", "vpd_low_kpa"}
)

WHOLE: frozenset[str] = frozenset(
    {
        "days_between_rounds",
        "round_late_days",
        "marked_plants_per_bay",
        "plants_checked_per_visit",
        "forecast_record_weeks",
        "trellis_due_days_urgent",
        "trellis_due_days",
        "balance_due_days",
        "weed_due_days_urgent",
        "weed_due_days",
        "pest_due_days_urgent",
        "pest_due_days",
        "pick_due_days_urgent",
        "pick_due_days",
    }
)


def plain_number(value: float) -> str:
    """A value as it was typed: all its decimals, no trailing zeros, with the chosen decimal mark."""
    exponent = Decimal(repr(float(value))).normalize().as_tuple().exponent
    return number(value, max(0, -exponent) if isinstance(exponent, int) else 0)


def value_fault(name: str, unit: str, value: float) -> str | None:
    """What is impossible about a value in its unit, in words; None when it is possible."""
    if unit == "°C":
        rule, possible = _("must be from -20 to 60 °C, not {value}"), -20 <= value <= 60
    elif unit == "fraction":
        rule, possible = _("must be above 0 and at most 1, not {value}"), 0 < value <= 1
    elif unit == "%":
        rule, possible = _("must be above 0 and at most 100 %, not {value}"), 0 < value <= 100
    elif name in WHOLE:
        rule, possible = (
            _("must be a whole number from 1 on, not {value}"),
            value >= 1 and value == int(value),
        )
    elif name in MAY_BE_ZERO:
        rule, possible = _("must be 0 or more, not {value}"), value >= 0
    else:
        rule, possible = _("must be above 0, not {value}"), value > 0
    return None if possible else rule.format(value=plain_number(value))


def order_fault(values: Mapping[str, float]) -> tuple[str, str] | None:
    """The first number that contradicts another one, and why, in words; None when all agree."""
    for row in RISING:
        for lower, upper in pairwise(row):
            if values[lower] >= values[upper]:
                rule = _("must be above {other} ({other_value}), not {value}")
                return upper, describe_pair(rule, lower, upper, values)
    for earlier, later in pairwise(NEVER_FALLING):
        if values[earlier] > values[later]:
            rule = _("must be at least {other} ({other_value}), not {value}")
            return later, describe_pair(rule, earlier, later, values)
    return None


def describe_pair(rule: str, other: str, name: str, values: Mapping[str, float]) -> str:
    """Fill the two numbers that contradict each other into a rule."""
    return rule.format(other=other, other_value=plain_number(values[other]), value=plain_number(values[name]))
