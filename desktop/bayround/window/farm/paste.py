"""Bays pasted from a spreadsheet: name, rows, length, width and, if given, the crop that stands in them."""

from __future__ import annotations

from dataclasses import dataclass

from bayround.crops import Crops
from bayround.facts.farm import Bay, House, Planting
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.window.parts.day_field import read_day
from bayround.words import _

_NEEDED = 4
_WITH_CROP = 8


@dataclass(frozen=True, slots=True)
class PastedBays:
    """What was read: bays and their plantings, not kept yet."""

    bays: tuple[Bay, ...]
    plantings: tuple[Planting, ...]


def read_bays(text: str, house: House, known: SeasonFacts, crops: Crops) -> PastedBays:
    """Read rows of cells parted by tabs (or semicolons); a heading row without numbers is passed over.

    Raises:
        Refused: naming the row and what is wrong in it; nothing is kept then.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    if lines and not any(character.isdigit() for character in lines[0]):
        lines = lines[1:]
    if not lines:
        raise Refused(
            _("There are no rows on the clipboard."),
            to_do=_("Copy rows with name, rows, length in m and width in m from a spreadsheet first."),
        )
    position = max((bay.position for bay in known.bays if bay.house_id == house.id), default=0)
    bays, plantings = [], []
    for number, line in enumerate(lines, start=1):
        cells = [cell.strip() for cell in line.split("\t" if "\t" in line else ";")]
        bay = _bay(cells, number, house, position + number)
        bays.append(bay)
        if any(cells[_NEEDED:]):
            plantings.append(_planting(cells, number, bay, crops))
    return PastedBays(tuple(bays), tuple(plantings))


def _bay(cells: list[str], row: int, house: House, position: int) -> Bay:
    if len(cells) < _NEEDED:
        raise _wrong(row, _("it needs name, rows, length and width"))
    rows = _number(cells[1], row, _("rows"), whole=True)
    length, width = _number(cells[2], row, _("length")), _number(cells[3], row, _("width"))
    return Bay(new_id(), house.id, cells[0], int(rows), length, width, position)


def _planting(cells: list[str], row: int, bay: Bay, crops: Crops) -> Planting:
    if len(cells) < _WITH_CROP:
        raise _wrong(row, _("a crop needs variety, day of transplanting and plants too"))
    by_name = {profile.name.casefold(): key for key, profile in crops.profiles.items()}
    crop = by_name.get(cells[4].casefold(), cells[4])
    if crop not in crops.profiles:
        known = ", ".join(sorted(profile.name for profile in crops.profiles.values()))
        raise _wrong(
            row, _("“{crop}” is no crop this program knows ({known})").format(crop=cells[4], known=known)
        )
    planted = read_day(cells[6])
    if planted is None:
        raise _wrong(row, _("“{text}” is not a date like 2026-08-03").format(text=cells[6]))
    plants = int(_number(cells[7], row, _("plants"), whole=True))
    stems = (
        int(_number(cells[8], row, _("stems per plant"), whole=True)) if len(cells) > 8 and cells[8] else 2
    )
    return Planting(new_id(), bay.id, crop, cells[5], planted, plants, stems)


def _number(text: str, row: int, name: str, whole: bool = False) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        raise _wrong(row, _("{name} “{text}” is not a number").format(name=name, text=text)) from None
    if not 0 < value < 1_000_000 or (whole and value != int(value)):
        raise _wrong(row, _("{name} can't be {text}").format(name=name, text=text))
    return value


def _wrong(row: int, what: str) -> Refused:
    return Refused(_("Row {row}: {what}.").format(row=row, what=what), _("Nothing was added."))
