"""Sheet “Readings”: what was keyed in, raw and tidy; a row is one marked plant at one visit of this week."""

from __future__ import annotations

from collections.abc import Iterator

from bayround.facts.rounds import READING_FIELDS
from bayround.figures import sampled
from bayround.paper.workbook import tables
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import Head, Row, Table
from bayround.week.snapshot import BayWeek
from bayround.words import _

TITLE = "Readings"
FIELD_TITLES = {
    "height_cm": "Height (cm)",
    "last_tie_cm": "Last tie (cm)",
    "stem_diameter_mm": "Stem diameter (mm)",
    "nodes": "Nodes (count)",
    "trusses": "Trusses (count)",
    "leaves": "Leaves (count)",
    "flowers": "Flowers (count)",
    "fruit_set": "Set fruit (count)",
    "fruit_green": "Green fruit (count)",
    "fruit_turning": "Turning fruit (count)",
    "fruit_coloured": "Coloured fruit (count)",
    "fruit_picked": "Picked fruit (count)",
}
_KEYS = ("House", "Bay", "Crop", "Date", "Scout", "Plant", "Row", "Position", "State")
STATE_COLUMN = len(_KEYS)


def write(pen: Pen, contents: Contents) -> None:
    """Write the sheet."""
    pen.title(
        contents.title(_(TITLE)),
        _(
            "As keyed in, one row a marked plant; an empty cell was not taken (0 is a number). Counts are for the whole plant."
        ),
    )
    tables.write(pen, table_of(contents), contents.farm_and_week, contents.watch)


def table_of(contents: Contents) -> Table:
    """Return the table: a row a marked plant and visit."""
    empty = _("No plant was read this week.")
    return Table("readings", _heads(), list(rows(contents)), 2, empty, fold=True)


def column_letter(field: str) -> str:
    """Return the letter of the column that holds a field of the readings."""
    return letter(STATE_COLUMN + 1 + READING_FIELDS.index(field))


def rows(contents: Contents) -> Iterator[Row]:
    """Yield the rows: bays in walk order, plants by number."""
    for seen in contents.visited:
        yield from _of_bay(seen)


def _of_bay(seen: BayWeek) -> Iterator[Row]:
    if seen.visit is None:
        return
    place = (seen.house.name, seen.bay.name, seen.crop_name or None, seen.visit.day, seen.scout or None)
    plants = {plant.id: plant for plant in seen.past.plants}
    nobody = (10**9, 0, 0)
    ordered = sorted(
        seen.visit.readings.items(),
        key=lambda item: (
            (plants[item[0]].number, plants[item[0]].row, plants[item[0]].position)
            if item[0] in plants
            else nobody
        ),
    )
    for plant_id, reading in ordered:
        plant = plants.get(plant_id)
        yield (
            *place,
            *((plant.number, plant.row, plant.position) if plant else (None, None, None)),
            sampled.state_text(seen.visit, plant_id),
            *(reading.value(field) for field in READING_FIELDS),
            reading.note or None,
        )


def _heads() -> list[Head]:
    wide = {"House": 20.0, "Bay": 16.0, "Crop": 14.0, "Date": 11.0, "Scout": 16.0, "State": 10.0}
    keys = [Head(_(key), wide.get(key, 7), right=key in {"Plant", "Row", "Position"}) for key in _KEYS]
    fields = [Head(_(FIELD_TITLES.get(field, field)), 10, right=True) for field in READING_FIELDS]
    return [*keys, *fields, Head(_("Note"), 36, wrap=True)]
