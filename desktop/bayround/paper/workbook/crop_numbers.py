"""Sheet “Thresholds and norms”: every number of the crops that stand, with its source; the farm's own are told apart."""

from __future__ import annotations

from collections.abc import Iterator

from bayround.crops.profile import CropProfile, Crops
from bayround.paper.workbook import tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Head, Row, Table
from bayround.words import _

TITLE = "Thresholds and norms"


def write(pen: Pen, contents: Contents) -> None:
    """Write a row for every number."""
    pen.title(
        contents.title(_(TITLE)), _("The numbers that rules and estimates use, for the crops that stand.")
    )
    heads = (
        Head(_("Crop"), 16),
        Head(_("About"), 26, wrap=True),
        Head(_("Number"), 46, wrap=True),
        Head(_("Value"), 10, right=True),
        Head(_("Up to"), 10, right=True),
        Head(_("Unit"), 24),
        Head(_("Kind of source"), 17),
        Head(_("Source"), 60, wrap=True),
        Head(_("In the crop file"), 10, right=True),
    )
    rows = list(_rows(contents))
    empty = _("No crop stands.") if contents.crops else _("The crops' numbers were not handed over.")
    table = Table("thresholds", heads, rows, 3, empty, fold=True)
    tables.write(pen, table, contents.farm_and_week, contents.watch)


def _rows(contents: Contents) -> Iterator[Row]:
    crops = contents.crops
    if crops is None:
        return
    standing = {seen.planting.crop for seen in contents.snapshot.bays if seen.planting}
    for key in sorted(standing & set(crops.profiles)):
        profile = crops.profile(key)
        yield from _numbers(profile)
        yield from _band(profile)
        yield from _organisms(profile, crops)


def _numbers(profile: CropProfile) -> Iterator[Row]:
    for number in profile.numbers.values():
        yield (
            _(profile.name),
            _("crop"),
            _(number.label),
            number.value,
            None,
            number.unit,
            _(number.basis),
            number.source,
            number.original,
        )


def _band(profile: CropProfile) -> Iterator[Row]:
    for point in profile.load_band:
        label = _("Fruit load, band {weeks} weeks after transplanting").format(
            weeks=f"{point.weeks_after_transplanting:g}"
        )
        yield (
            _(profile.name),
            _("fruit load"),
            label,
            point.low_per_m2,
            point.high_per_m2,
            _("fruit/m²"),
            _(point.basis),
            point.source,
            point.original_low_per_m2,
        )


def _organisms(profile: CropProfile, crops: Crops) -> Iterator[Row]:
    for key in profile.organisms:
        organism = crops.organisms.get(key)
        for threshold in organism.thresholds_for(profile.key) if organism else ():
            label = _(threshold.kind.replace("_", " "))
            if threshold.part:
                label = _("{kind}, on {part}").format(kind=label, part=_(threshold.part))
            yield (
                _(profile.name),
                _(organism.name) if organism else key,
                label,
                threshold.value,
                threshold.value_high,
                threshold.unit,
                _(threshold.basis),
                threshold.source,
                None,
            )
