"""One bay's sheet of the walk workbook."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from bayround import words
from bayround.crops.profile import ReadingField
from bayround.facts.rounds import PlantState
from bayround.paper.walk_book import places
from bayround.paper.walk_book.places import BayPlaces, PestPlace, PlantPlace
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.styles import HEADING, LABEL, NOTE, PLAIN, Look
from bayround.week.walk_sheet import BayToWalk
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_BOX = Look(lines="thin", across="right")
_WORDS = Look(lines="thin", across="left", wrap=True)
_FAINT = Look(ink="3C453F", across="right")
_MOST_COUNTED = 100_000

Kind = Literal["whole", "decimal", "date"]
"""What a validated cell takes."""


def write(pen: Pen, name: str, bay: BayToWalk, organisms: dict[str, str]) -> BayPlaces:
    """Write the sheet called *name* and return where everything stands on it."""
    pen.title(bay.name, _about(bay))
    if bay.cautions:
        pen.text(3, 1, _("MIND: {cautions}").format(cautions="; ".join(bay.cautions)), LABEL)
    plants = _plants(pen, bay)
    row = places.HEAD_ROW + len(plants) + 2
    pests = _pests(pen, bay, row)
    weed_row = row + len(pests) + 2
    _answers(pen, weed_row)
    card_row = weed_row + 7
    _cards(pen, card_row, organisms)
    _widths(pen.sheet, bay)
    return BayPlaces(
        name,
        bay.bay.id,
        bay.planting.id,
        tuple(field.key for field in bay.fields),
        plants,
        pests,
        weed_row,
        card_row,
    )


def _about(bay: BayToWalk) -> str:
    last = words.day(bay.last_visit_on) if bay.last_visit_on else _("never")
    return _("{crop} {variety} · last visit {day}").format(
        crop=bay.crop_name, variety=bay.planting.variety, day=last
    )


def _plants(pen: Pen, bay: BayToWalk) -> tuple[PlantPlace, ...]:
    first = places.FIRST_FIELD_COLUMN
    note = first + len(bay.fields)
    titles = [
        _("Plant"),
        _("Row"),
        _("Place"),
        _("State"),
        *(_title(field) for field in bay.fields),
        _("Note"),
    ]
    titles += [_("{field}, last").format(field=_(field.label)) for field in bay.fields]
    for column, title in enumerate(titles, 1):
        pen.text(places.HEAD_ROW, column, title, HEADING)
    found = []
    for row, one in enumerate(bay.plants, places.HEAD_ROW + 1):
        for column, number in enumerate((one.plant.number, one.plant.row, one.plant.position), 1):
            pen.put(row, column, number, PLAIN)
        pen.text(row, places.STATE_COLUMN, _(PlantState.STANDING.value), _WORDS)
        for place, field in enumerate(bay.fields):
            pen.put(row, first + place, None, _BOX)
            last = one.last.value(field.key) if one.last else None
            pen.put(row, note + 1 + place, last, _FAINT)
        pen.put(row, note, None, _WORDS)
        unlock(
            pen.sheet,
            f"{letter(places.STATE_COLUMN)}{row}",
            *(f"{letter(c)}{row}" for c in range(first, note + 1)),
        )
        found.append(PlantPlace(row, one.plant.id, one.plant.number))
    if found:
        _check_plants(pen.sheet, bay, found[0].row, found[-1].row)
    pen.sheet.freeze_panes = f"D{places.HEAD_ROW + 1}"
    return tuple(found)


def _check_plants(sheet: Worksheet, bay: BayToWalk, first: int, last: int) -> None:
    states = ",".join(_(state.value) for state in PlantState)
    column = letter(places.STATE_COLUMN)
    choices(sheet, f"{column}{first}:{column}{last}", f'"{states}"')
    for place, field in enumerate(bay.fields):
        column = letter(places.FIRST_FIELD_COLUMN + place)
        told = _("{field}: {low} to {high} {unit}. A remark belongs into the note.").format(
            field=_(field.label), low=f"{field.hard_low:g}", high=f"{field.hard_high:g}", unit=field.unit
        )
        kind: Kind = "decimal" if field.unit else "whole"
        validate(sheet, f"{column}{first}:{column}{last}", kind, (field.hard_low, field.hard_high), told)


def _title(field: ReadingField) -> str:
    return f"{_(field.label)} ({field.unit})" if field.unit else _(field.label)


def _pests(pen: Pen, bay: BayToWalk, row: int) -> tuple[PestPlace, ...]:
    titles = (
        _("Look for"), _("On"), _("At most"), _("Looked at"), _("Infested"), _("Counted"), _("Severity (%)"), _("Where"),
        _("When to stop"),
    )  # fmt: skip
    for column, title in enumerate(titles, 1):
        pen.text(row, column, title, HEADING)
    found = []
    pen.sheet.row_dimensions[row].height = 30
    for place, pest in enumerate(bay.pests, row + 1):
        pen.text(place, 1, pest.name, PLAIN)
        pen.text(place, 2, _(pest.part), PLAIN)
        pen.put(place, 3, pest.at_most or None, PLAIN)
        for column in range(places.LOOKED_AT, places.WHERE + 1):
            pen.put(place, column, None, _WORDS if column == places.WHERE else _BOX)
            unlock(pen.sheet, f"{letter(column)}{place}")
        pen.text(place, places.WHERE + 1, pest.stop, NOTE)
        found.append(PestPlace(place, pest.key, pest.part))
    if found:
        first, last = found[0].row, found[-1].row
        told = _("A whole number, 0 or more.")
        span = f"{letter(places.LOOKED_AT)}{first}:{letter(places.COUNTED)}{last}"
        validate(pen.sheet, span, "whole", (0, _MOST_COUNTED), told)
        severity = letter(places.SEVERITY)
        percent = _("Percent, 0 to 100 (a grade of old records as HB 4).")
        span = f"{severity}{first}:{severity}{last}"
        validate(pen.sheet, span, "decimal", (0, 100), percent, only_warn=True)
    return tuple(found)


def _answers(pen: Pen, row: int) -> None:
    labels = (_("Weed cover (%)"), _("Weeds seeding (yes, no)"), _("Which weeds"), _("Where"), _("Note"))
    for place, label in enumerate(labels, row):
        pen.text(place, 1, label, LABEL)
        pen.put(place, places.ANSWER, None, _WORDS)
        unlock(pen.sheet, f"{letter(places.ANSWER)}{place}")
    cell = letter(places.ANSWER)
    validate(pen.sheet, f"{cell}{row}", "decimal", (0, 100), _("Percent, 0 to 100."))
    choices(pen.sheet, f"{cell}{row + 1}", f'"{_("yes")},{_("no")}"')


def _cards(pen: Pen, row: int, organisms: dict[str, str]) -> None:
    titles = {
        1: _("Sticky cards"), places.CARD: _("Card"), places.CARD_ORGANISM: _("Insect"),
        places.CARD_COUNT: _("Count"), places.CARD_DAYS: _("Days hung"),
    }  # fmt: skip
    for column, title in titles.items():
        pen.text(row, column, title, HEADING)
    last = row + places.CARD_ROWS
    for place in range(row + 1, last + 1):
        for column in range(places.CARD, places.CARD_DAYS + 1):
            pen.put(place, column, None, _WORDS if column <= places.CARD_ORGANISM else _BOX)
            unlock(pen.sheet, f"{letter(column)}{place}")
    names = ",".join(name for name in organisms.values() if "," not in name)
    if len(names) < 250:  # a list in a validation holds 255 characters
        choices(pen.sheet, _down(places.CARD_ORGANISM, row + 1, last), f'"{names}"')
    told = _("A whole number, 0 or more.")
    validate(pen.sheet, _down(places.CARD_COUNT, row + 1, last), "whole", (0, _MOST_COUNTED), told)
    validate(pen.sheet, _down(places.CARD_DAYS, row + 1, last), "decimal", (0.1, 60), _("Days, more than 0."))


def _down(column: int, first: int, last: int) -> str:
    return f"{letter(column)}{first}:{letter(column)}{last}"


def _widths(sheet: Worksheet, bay: BayToWalk) -> None:
    fields = len(bay.fields)
    for column in range(1, places.FIRST_FIELD_COLUMN + 2 * fields + 1):
        sheet.column_dimensions[letter(column)].width = 11
    sheet.column_dimensions["A"].width = 26
    sheet.column_dimensions[letter(places.STATE_COLUMN)].width = 12
    sheet.column_dimensions[letter(places.FIRST_FIELD_COLUMN + fields)].width = 30
    sheet.row_dimensions[places.HEAD_ROW].height = 30


def unlock(sheet: Worksheet, *cells: str) -> None:
    """Let people type into these cells although the sheet is protected."""
    from openpyxl.styles import Protection

    for cell in cells:
        sheet[cell].protection = Protection(locked=False)


def validate(
    sheet: Worksheet,
    cells: str,
    kind: Kind,
    bounds: tuple[float, float],
    told: str,
    *,
    only_warn: bool = False,
) -> None:
    """Let only numbers (or dates) between the bounds into *cells*; *told* is said otherwise (or warned only)."""
    from openpyxl.worksheet.datavalidation import DataValidation

    rule = DataValidation(
        type=kind,
        operator="between",
        formula1=f"{bounds[0]:g}",
        formula2=f"{bounds[1]:g}",
        allow_blank=True,
        error=told[:220],
        errorStyle="warning" if only_warn else "stop",
    )
    rule.showErrorMessage = True
    sheet.add_data_validation(rule)
    rule.add(cells)


def choices(sheet: Worksheet, cells: str, source: str) -> None:
    """Let only what is in the list into *cells*."""
    from openpyxl.worksheet.datavalidation import DataValidation

    rule = DataValidation(type="list", formula1=source, allow_blank=True, error=_("Choose from the list."))
    rule.showErrorMessage = True
    sheet.add_data_validation(rule)
    rule.add(cells)
