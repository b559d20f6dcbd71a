"""Where things stand in a walk workbook, and the hidden sheet that says what belongs to which record."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass

MARK = "bayround walk sheet 1"
"""First cell of the hidden sheet."""

IDS_SHEET = "ids"
WALK_SHEET = "Walk"
DATE_CELL, SCOUT_CELL = "B4", "B5"
HEAD_ROW = 5
STATE_COLUMN, FIRST_FIELD_COLUMN = 4, 5
LOOKED_AT, INFESTED, COUNTED, SEVERITY, WHERE = 4, 5, 6, 7, 8
"""Columns of what was looked for."""

CARD, CARD_ORGANISM, CARD_COUNT, CARD_DAYS = 4, 5, 6, 7
CARD_ROWS = 3
ANSWER = 4
"""Column of the single answers: weeds and the note."""


@dataclass(frozen=True, slots=True)
class PlantPlace:
    """The row of one marked plant; the label must still stand there when the book comes back."""

    row: int
    plant_id: str
    number: int


@dataclass(frozen=True, slots=True)
class PestPlace:
    """The row of one organism."""

    row: int
    organism: str
    part: str


@dataclass(frozen=True, slots=True)
class BayPlaces:
    """One bay's sheet. *weed_row* holds the cover; seeding, species, where and note follow it."""

    sheet: str
    bay_id: str
    planting_id: str
    fields: tuple[str, ...]
    plants: tuple[PlantPlace, ...]
    pests: tuple[PestPlace, ...]
    weed_row: int
    card_row: int

    @property
    def note_column(self) -> int:
        """Column of the remark on a plant."""
        return FIRST_FIELD_COLUMN + len(self.fields)


@dataclass(frozen=True, slots=True)
class BookPlaces:
    """All of a walk workbook; *scout_id* is empty where the scout is typed in."""

    farm_id: str
    week: str
    bays: tuple[BayPlaces, ...]


def lines(places: BookPlaces) -> tuple[str, ...]:
    """Return the lines of the hidden sheet: mark, digest of the rest, then one JSON line for farm and each bay."""
    body = [json.dumps({"farm_id": places.farm_id, "week": places.week}, ensure_ascii=False)]
    body += [json.dumps(asdict(bay), ensure_ascii=False) for bay in places.bays]
    return (MARK, digest(body), *body)


def digest(body: Iterable[str]) -> str:
    """Return what shows that the hidden sheet was not touched (SHA-256; no secret, so no proof against intent)."""
    return hashlib.sha256("\n".join(body).encode()).hexdigest()


def parse(found: Sequence[str]) -> BookPlaces:
    """Read the hidden sheet's lines again.

    Raises:
        ValueError: when they were changed or are none of this program's.
    """
    if len(found) < 3 or found[0] != MARK or digest(found[2:]) != found[1]:
        raise ValueError("changed")
    try:
        about = json.loads(found[2])
        bays = tuple(_bay(json.loads(line)) for line in found[3:])
        return BookPlaces(str(about["farm_id"]), str(about["week"]), bays)
    except (KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ValueError("changed") from error


def _bay(known: dict[str, object]) -> BayPlaces:
    raw: dict[str, object] = dict(known)
    plants, pests, fields = raw.pop("plants"), raw.pop("pests"), raw.pop("fields")
    if not (isinstance(plants, list) and isinstance(pests, list) and isinstance(fields, list)):
        raise TypeError("lists")
    return BayPlaces(
        fields=tuple(str(field) for field in fields),
        plants=tuple(PlantPlace(**one) for one in plants),
        pests=tuple(PestPlace(**one) for one in pests),
        **raw,  # type: ignore[arg-type]
    )
