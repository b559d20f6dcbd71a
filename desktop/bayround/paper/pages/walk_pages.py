"""Walk sheets on paper: a bay is a block with its plants, boxes to write in, what to look for, weeds and notes."""

from __future__ import annotations

from functools import partial

from bayround import words
from bayround.paper import farm_name
from bayround.paper.pages import page_head
from bayround.paper.pages.drawing import MARGIN_MM, Box, Document, Item, Line, Page, Paper, Text
from bayround.paper.pages.measure import height_mm
from bayround.paper.pages.paging import Block, Part, onto_pages
from bayround.week import chosen
from bayround.week.walk_sheet import BayToWalk, PestToLookFor, PlantToVisit, WalkSheet
from bayround.words import _

_ROW_MM, _HEADING_MM, _PLACE_MM, _NUMBER_MM = 8.5, 8.5, 10.0, 9.0
_WIDEST_FIELD_MM, _NARROWEST_NOTE_MM = 17.0, 26.0
_LAST_PT, _SMALL_PT = 7.5, 7.5
_PEST_WIDTHS = (36.0, 20.0, 0.0, 17.0, 17.0, 17.0)
"""Organism, part, stop table (takes the rest), looked at, infested, counted."""


def document(sheets: tuple[WalkSheet, ...], paper: Paper) -> Document:
    """Return the pages of all walk sheets; each sheet counts its own pages."""
    pages: list[Page] = []
    for sheet in sheets:
        blocks = [_block(bay, paper) for bay in sheet.bays]
        pages += onto_pages(paper, partial(_head, sheet, paper), page_head.HEIGHT_MM, blocks)
    title = _("Walk sheet {week}").format(week=sheets[0].week) if sheets else _("Walk sheet")
    return Document(title, paper, tuple(pages))


def _head(sheet: WalkSheet, paper: Paper, page: int, pages: int) -> tuple[Item, ...]:
    title = _("Walk sheet {week} · {farm}").format(week=sheet.week, farm=farm_name.shown(sheet.farm))
    who = _("Scout: {scout}      Date: {day}      Begun: ________  Ended: ________").format(
        scout=sheet.scout or "______________________",
        day=words.weekday_day(sheet.held_on) if sheet.held_on else "________________",
    )
    note = _("Small number: last time. Write 0 for none; leave empty what was not taken; – skipped, † dead.")
    return page_head.head(paper, title, who, note, page, pages)


def _block(bay: BayToWalk, paper: Paper) -> Block:
    width = paper.width_mm - 2 * MARGIN_MM
    title = _title(bay, width)
    heads = _plant_heads(bay, width)
    pest_heads = _pest_heads(width)
    plants = [_plant(bay, one, width) for one in bay.plants] or [_nobody(width)]
    pests = [_pest(one, width) for one in bay.pests]
    parts = (
        title,
        heads,
        *plants,
        Part(2.5, ()),
        pest_heads,
        *pests,
        Part(2.0, ()),
        *_weeds_and_notes(bay, width),
    )
    last_plant, last_pest = 1 + len(plants), 3 + len(plants) + len(pests)

    def again(place: int) -> tuple[Part, ...]:
        more = _title(bay, width, continued=True)
        if 2 <= place <= last_plant:
            return more, heads
        return (more, pest_heads) if last_plant + 2 < place <= last_pest else (more,)

    return Block(parts, again)


def _title(bay: BayToWalk, width: float, *, continued: bool = False) -> Part:
    name = _("{bay} (continued)").format(bay=bay.name) if continued else bay.name
    crop = _("{crop} {variety}, planted {day}").format(
        crop=bay.crop_name, variety=bay.planting.variety, day=words.day(bay.planting.transplanted_on)
    )
    last = (
        _("last visit {day}").format(day=words.day(bay.last_visit_on))
        if bay.last_visit_on
        else _("first visit")
    )
    how_chosen = chosen.in_words(bay.seeds, bay.aside, (one.plant for one in bay.plants))
    about = " · ".join((crop, last, *how_chosen))
    items: list[Item] = [
        Text(MARGIN_MM, 0, width * 0.4, 6.5, name, 12, bold=True),
        Text(MARGIN_MM + width * 0.4, 0, width * 0.6, 6.5, about, 8, align="right"),
    ]
    height = 7.0
    if bay.cautions and not continued:
        text = _("MIND: {cautions}. The label, the notice at the door and local rules decide.").format(
            cautions="; ".join(bay.cautions)
        )
        room = height_mm(text, width - 4, 8, bold=True) + 2
        items += [
            Box(MARGIN_MM, height, width, room, 0.6),
            Text(MARGIN_MM + 2, height, width - 4, room, text, 8, bold=True, wrap=True),
        ]
        height += room + 1.5
    return Part(height, tuple(items))


def _columns(bay: BayToWalk, width: float) -> list[tuple[float, float]]:
    """Return (left edge, width) of number, row, position, each field, note."""
    room = width - 2 * _NUMBER_MM - _PLACE_MM
    field = min(_WIDEST_FIELD_MM, (room - _NARROWEST_NOTE_MM) / max(1, len(bay.fields)))
    widths = [_NUMBER_MM, _NUMBER_MM, _PLACE_MM, *(field for _field in bay.fields)]
    widths.append(width - sum(widths))
    return _edges(widths)


def _edges(widths: list[float]) -> list[tuple[float, float]]:
    found, x = [], MARGIN_MM
    for one in widths:
        found.append((x, one))
        x += one
    return found


def _plant_heads(bay: BayToWalk, width: float) -> Part:
    titles = [_("Plant"), _("Row"), _("Place")]
    titles += [f"{_(field.label)} {field.unit}".strip() for field in bay.fields]
    titles.append(_("Note"))
    return _headings(titles, _columns(bay, width))


def _headings(titles: list[str], columns: list[tuple[float, float]]) -> Part:
    items: list[Item] = []
    for title, (x, wide) in zip(titles, columns):
        items.append(Box(x, 0, wide, _HEADING_MM, 0.3, 0.9))
        items.append(
            Text(x + 0.7, 0, wide - 1.4, _HEADING_MM, title, 7.5, bold=True, align="center", wrap=True)
        )
    return Part(_HEADING_MM, tuple(items))


def _plant(bay: BayToWalk, one: PlantToVisit, width: float) -> Part:
    columns = _columns(bay, width)
    items: list[Item] = [Box(x, 0, wide, _ROW_MM, 0.2) for x, wide in columns]
    numbers = (one.plant.number, one.plant.row, one.plant.position)
    for number, (x, wide) in zip(numbers, columns):
        items.append(Text(x, 0, wide, _ROW_MM, str(number), 10, bold=x == MARGIN_MM, align="center"))
    for field, (x, wide) in zip(bay.fields, columns[3:]):
        value = one.last.value(field.key) if one.last else None
        if value is not None:
            shown = words.number(value, field.decimals)
            items.append(Text(x + 0.6, 0.3, wide - 1.2, 3, shown, _LAST_PT, stand="top"))
    return Part(_ROW_MM, tuple(items))


def _nobody(width: float) -> Part:
    return Part(_ROW_MM, (Text(MARGIN_MM, 0, width, _ROW_MM, _("No plant is marked here yet."), 9),))


def _pest_columns(width: float) -> list[tuple[float, float]]:
    rest = width - sum(_PEST_WIDTHS)
    return _edges([one or rest for one in _PEST_WIDTHS])


def _pest_heads(width: float) -> Part:
    titles = [_("Look for"), _("On"), _("When to stop"), _("Looked at"), _("Infested"), _("Counted")]
    return _headings(titles, _pest_columns(width))


def _pest(one: PestToLookFor, width: float) -> Part:
    columns = _pest_columns(width)
    stop = one.stop or _("no threshold is set: judge for yourself")
    if one.at_most:
        stop += ". " + _("At most {n}.").format(n=one.at_most)
    rooms = ((one.name, 9.0), (_(one.part), 8.0), (stop, _SMALL_PT))
    needed = [height_mm(text, wide - 2, size) for (text, size), (_x, wide) in zip(rooms, columns)]
    height = max(7.0, max(needed) + 1.2)
    items: list[Item] = [Box(x, 0, wide, height, 0.2) for x, wide in columns]
    for (text, size), (x, wide) in zip(rooms, columns):
        items.append(Text(x + 1, 0, wide - 2, height, text, size, wrap=True))
    if not one.counting:
        x, wide = columns[5]
        items.append(Line(x, height, x + wide, 0, 0.1))
    return Part(height, tuple(items))


def _weeds_and_notes(bay: BayToWalk, width: float) -> tuple[Part, ...]:
    last = (
        _(" (last {percent})").format(percent=words.number(bay.last_weed_percent, 0))
        if bay.last_weed_percent is not None
        else ""
    )
    weeds = _("Weeds cover ______ % of the ground{last}    seeding: yes / no    which and where:").format(
        last=last
    )
    cards = _("Sticky card ______  insect ____________  count ______  days hung ______")
    again = _("card ______  insect ____________  count ______  days ______")
    items: tuple[Item, ...] = (
        Text(MARGIN_MM, 0, width, 6, weeds, 8.5),
        Line(MARGIN_MM + 124, 5.5, MARGIN_MM + width, 5.5),
        Text(MARGIN_MM, 6.5, width, 6, f"{cards}   {again}", 8.5),
    )
    notes: tuple[Item, ...] = (
        Text(MARGIN_MM, 0, 20, 6, _("Notes"), 8.5),
        *(Line(MARGIN_MM + (14 if y < 6 else 0), y, MARGIN_MM + width, y, 0.1) for y in (5.5, 12.5)),
    )
    return Part(13.0, items), Part(13.5, notes)
