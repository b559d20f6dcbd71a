"""A filled walk workbook: which cell belongs to what is read from its hidden sheet, the answers stay as typed."""

from __future__ import annotations

from dataclasses import dataclass

from bayround.facts.problems import Problem
from bayround.paper.imports.grid import Book, Sheet, Value
from bayround.paper.walk_book import places
from bayround.paper.walk_book.places import BayPlaces, BookPlaces, PestPlace, PlantPlace
from bayround.words import _

_MOST_LINES = 5_000


@dataclass(frozen=True, slots=True)
class PlantAnswers:
    """One plant's row: the cells by field, state and note; *moved*: another plant stands there now."""

    place: PlantPlace
    values: dict[str, Value]
    state: str
    note: Value
    moved: bool


@dataclass(frozen=True, slots=True)
class PestAnswers:
    """One organism's row as typed; *name* is what stands before it."""

    place: PestPlace
    name: str
    looked_at: Value
    infested: Value
    counted: Value
    severity: Value
    where: Value


@dataclass(frozen=True, slots=True)
class CardAnswers:
    """One sticky card as typed."""

    card: Value
    insect: Value
    count: Value
    days: Value


@dataclass(frozen=True, slots=True)
class BayAnswers:
    """One bay's sheet; *weeds* are cover, seeding, species, where; then the note."""

    places: BayPlaces
    plants: tuple[PlantAnswers, ...]
    pests: tuple[PestAnswers, ...]
    weeds: tuple[Value, Value, Value, Value]
    note: Value
    cards: tuple[CardAnswers, ...]


@dataclass(frozen=True, slots=True)
class WalkAnswers:
    """A filled walk workbook. *missing* are the bays whose sheet is no longer there."""

    farm_id: str
    week: str
    held_on: Value
    scout: str
    bays: tuple[BayAnswers, ...]
    missing: tuple[str, ...]


def is_walk_book(book: Book) -> bool:
    """Tell whether a workbook is one of this program's walk sheets."""
    ids = book.by_name.get(places.IDS_SHEET)
    return ids is not None and ids.text(1, 1) == places.MARK


def read(book: Book) -> WalkAnswers:
    """Return what was typed into a walk workbook.

    Raises:
        Problem: when its hidden sheet was changed, so that nobody knows what belongs to which plant.
    """
    known = _places(book)
    first = book.by_name.get(places.WALK_SHEET, Sheet(places.WALK_SHEET, {}))
    answered = [(bay, book.by_name.get(bay.sheet)) for bay in known.bays]
    row, column = 4, 2  # places.DATE_CELL, the scout below it
    return WalkAnswers(
        known.farm_id,
        known.week,
        first.value(row, column),
        first.text(row + 1, column),
        tuple(_bay(bay, sheet) for bay, sheet in answered if sheet is not None),
        tuple(bay.sheet for bay, sheet in answered if sheet is None),
    )


def _places(book: Book) -> BookPlaces:
    ids = book.by_name.get(places.IDS_SHEET)
    lines: list[str] = []
    while ids is not None and len(lines) < _MOST_LINES and isinstance(ids.value(len(lines) + 1, 1), str):
        lines.append(str(ids.value(len(lines) + 1, 1)))
    try:
        found = places.parse(lines)
        if not all(_sound(bay) for bay in found.bays):
            raise ValueError("changed")
        return found
    except ValueError as error:
        raise Problem(
            _("“{name}” no longer says which cell belongs to which plant.").format(name=book.name),
            _("Nothing was brought in."),
            _("Its hidden sheet was changed. Key the sheet in under Visit."),
        ) from error


def _sound(bay: BayPlaces) -> bool:
    numbers = [bay.weed_row, bay.card_row]
    numbers += [number for plant in bay.plants for number in (plant.row, plant.number)]
    numbers += [pest.row for pest in bay.pests]
    texts = [bay.sheet, bay.bay_id, bay.planting_id]
    texts += [plant.plant_id for plant in bay.plants]
    texts += [text for pest in bay.pests for text in (pest.organism, pest.part)]
    return all(type(number) is int and number > 0 for number in numbers) and all(
        isinstance(text, str) for text in texts
    )


def _bay(bay: BayPlaces, sheet: Sheet) -> BayAnswers:
    answer = places.ANSWER
    return BayAnswers(
        bay,
        tuple(_plant(bay, plant, sheet) for plant in bay.plants),
        tuple(_pest(pest, sheet) for pest in bay.pests),
        (
            sheet.value(bay.weed_row, answer),
            sheet.value(bay.weed_row + 1, answer),
            sheet.value(bay.weed_row + 2, answer),
            sheet.value(bay.weed_row + 3, answer),
        ),
        sheet.value(bay.weed_row + 4, answer),
        tuple(_card(sheet, bay.card_row + line) for line in range(1, places.CARD_ROWS + 1)),
    )


def _plant(bay: BayPlaces, plant: PlantPlace, sheet: Sheet) -> PlantAnswers:
    values = {
        key: sheet.value(plant.row, places.FIRST_FIELD_COLUMN + place) for place, key in enumerate(bay.fields)
    }
    return PlantAnswers(
        plant,
        {key: value for key, value in values.items() if value is not None},
        sheet.text(plant.row, places.STATE_COLUMN),
        sheet.value(plant.row, bay.note_column),
        sheet.value(plant.row, 1) not in (plant.number, str(plant.number)),
    )


def _pest(pest: PestPlace, sheet: Sheet) -> PestAnswers:
    columns = (places.LOOKED_AT, places.INFESTED, places.COUNTED, places.SEVERITY, places.WHERE)
    looked_at, infested, counted, severity, where = (sheet.value(pest.row, column) for column in columns)
    return PestAnswers(pest, sheet.text(pest.row, 1), looked_at, infested, counted, severity, where)


def _card(sheet: Sheet, row: int) -> CardAnswers:
    columns = (places.CARD, places.CARD_ORGANISM, places.CARD_COUNT, places.CARD_DAYS)
    card, insect, count, days = (sheet.value(row, column) for column in columns)
    return CardAnswers(card, insect, count, days)
