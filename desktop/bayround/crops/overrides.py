"""A farm's own numbers in place of those in the crop files."""

import math
import re
from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from bayround.crops.known_numbers import order_fault, plain_number, value_fault
from bayround.crops.profile import CropProfile, Crops, LoadBandPoint, ReadingField, SourcedNumber
from bayround.words import _

BAND_NAME = re.compile(r"load_band\.(?P<weeks>\d+(?:\.\d+)?)\.(?P<side>low_per_m2|high_per_m2)")


def apply_overrides(crops: Crops, overrides: Iterable[tuple[str, str, float]]) -> Crops:
    """New crops in which each (crop key, number name, value) has taken the place of the file's value.

    A number is named as in the crop file; one side of a row of the load band is named
    `load_band.<weeks>.low_per_m2` or `load_band.<weeks>.high_per_m2`. A replaced number has basis "farm" and
    keeps the file's value in `original`. Of several for the same number the last one holds. `crops` is left
    as it was.

    Raises KeyError, in words, for an unknown crop, number or row, and ValueError for a value that is
    impossible or contradicts the other numbers once all overrides of that crop are in.
    """
    by_crop: dict[str, dict[str, float]] = {}
    for crop_key, name, value in overrides:
        by_crop.setdefault(crop_key, {})[name] = float(value)
    profiles = dict(crops.profiles)
    for crop_key, values in by_crop.items():
        profiles[crop_key] = override_profile(crops.profile(crop_key), values)
    return Crops(MappingProxyType(profiles), crops.organisms)


def override_profile(profile: CropProfile, values: dict[str, float]) -> CropProfile:
    """One profile with the farm's values, checked as the crop file was."""
    numbers, band = dict(profile.numbers), profile.load_band
    for name, value in values.items():
        if not math.isfinite(value):
            rule = _("{crop}: {name}: must be a finite number, not {value}")
            raise ValueError(rule.format(crop=profile.name, name=name, value=value))
        match = BAND_NAME.fullmatch(name)
        if match:
            band = override_band(profile, band, float(match["weeks"]), match["side"], value)
        else:
            numbers[name] = override_number(profile, profile.number(name), value)
    fault = order_fault({name: number.value for name, number in numbers.items()})
    if fault is not None:
        raise ValueError(f"{profile.name}: {numbers[fault[0]].label} ({fault[0]}): {fault[1]}")
    check_band(profile, band)
    return replace(
        profile,
        numbers=MappingProxyType(numbers),
        load_band=band,
        fields=with_height_rise(profile.fields, numbers["growth_cm_week_doubtful"].value),
    )


def with_height_rise(fields: tuple[ReadingField, ...], doubtful: float) -> tuple[ReadingField, ...]:
    """The fields with the doubtful growth also in the height field, where it is asked about at keying in."""
    return tuple(
        replace(field, max_rise_per_week=doubtful) if field.key == "height_cm" else field for field in fields
    )


def override_number(profile: CropProfile, number: SourcedNumber, value: float) -> SourcedNumber:
    """The number with the farm's value; `original` stays the crop file's, however often it is replaced."""
    fault = value_fault(number.name, number.unit, value)
    if fault is not None:
        raise ValueError(f"{profile.name}: {number.label} ({number.name}): {fault}")
    if number.original is not None:
        return replace(number, value=value)
    if value == number.value:
        return number  # put back: the crop file's own source holds again
    source = _("set by this farm; crop file: {value} {unit} ({source})").format(
        value=plain_number(number.value), unit=number.unit, source=number.source
    )
    return replace(number, value=value, basis="farm", source=source, original=number.value)


def check_band(profile: CropProfile, band: tuple[LoadBandPoint, ...]) -> None:
    """Raises ValueError, in words, when a row of the load band is upside down."""
    for point in band:
        if not 0 <= point.low_per_m2 < point.high_per_m2:
            rule = _("{crop}: fruit to carry in week {week}: {high} must be above {low}, which is 0 or more")
            raise ValueError(
                rule.format(
                    crop=profile.name,
                    week=plain_number(point.weeks_after_transplanting),
                    high=plain_number(point.high_per_m2),
                    low=plain_number(point.low_per_m2),
                )
            )


def override_band(
    profile: CropProfile, band: tuple[LoadBandPoint, ...], weeks: float, side: str, value: float
) -> tuple[LoadBandPoint, ...]:
    """The band with one side of the row for `weeks` replaced. Raises KeyError when there is no such row."""
    known = [point.weeks_after_transplanting for point in band]
    if weeks not in known:
        rule = _("The load band of {crop} has no row for week {week}. Its rows are: {known}.")
        rows = ", ".join(plain_number(week) for week in known)
        raise KeyError(rule.format(crop=profile.name, week=plain_number(weeks), known=rows))
    return tuple(
        override_point(point, side, value) if point.weeks_after_transplanting == weeks else point
        for point in band
    )


def override_point(point: LoadBandPoint, side: str, value: float) -> LoadBandPoint:
    """One row of the band with one side replaced."""
    original_low = point.low_per_m2 if point.original_low_per_m2 is None else point.original_low_per_m2
    original_high = point.high_per_m2 if point.original_high_per_m2 is None else point.original_high_per_m2
    source = point.source
    if point.basis != "farm" and value == getattr(point, side):
        return point  # put back, or never changed
    if point.basis != "farm":
        source = _("set by this farm; crop file: {low} to {high} fruit/m² ({source})").format(
            low=plain_number(original_low), high=plain_number(original_high), source=point.source
        )
    return replace(
        point,
        low_per_m2=value if side == "low_per_m2" else point.low_per_m2,
        high_per_m2=value if side == "high_per_m2" else point.high_per_m2,
        basis="farm",
        source=source,
        original_low_per_m2=original_low,
        original_high_per_m2=original_high,
    )
