"""Which column of a spreadsheet holds what: recognised by its heading, remembered by its layout, or said by a person."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bayround.actions.imports.preview import Column, Kind, Options
from bayround.crops import Crops
from bayround.facts.kept import ImportLayout
from bayround.facts.rounds import READING_FIELDS
from bayround.paper.imports.headings import Heading, Table
from bayround.words import _

DAY, TIME, HOUSE, BAY, PLANT, SCOUT, STATE, NOTE = (
    "day", "time", "house", "bay", "plant", "scout", "state", "note",
)  # fmt: skip
KG, FRUIT, GRADE, COLOUR, PICKER = "kg", "fruit", "grade", "colour", "picker"
TEMPERATURE, LOW, HIGH = "temperature", "low", "high"
HUMIDITY, HUMIDITY_LOW, HUMIDITY_HIGH = "humidity", "humidity_low", "humidity_high"
LIGHT, LIGHT_SUM = "light", "light_sum"
CLIMATE = (TEMPERATURE, LOW, HIGH, HUMIDITY, HUMIDITY_LOW, HUMIDITY_HIGH, LIGHT, LIGHT_SUM)

PARTS: dict[Kind, tuple[str, ...]] = {
    Kind.READINGS: (DAY, HOUSE, BAY, PLANT, *READING_FIELDS, STATE, NOTE, SCOUT),
    Kind.PICKS: (DAY, TIME, HOUSE, BAY, KG, FRUIT, GRADE, COLOUR, PICKER, NOTE),
    Kind.CLIMATE: (DAY, TIME, HOUSE, *CLIMATE),
}
"""What columns of each kind of file can hold."""

WORDS: dict[str, tuple[str, ...]] = {
    DAY: ("date", "day", "date time", "timestamp", "time stamp", "datetime", "date and time", "logged at", "recorded at"),
    TIME: ("time", "hour", "clock", "began", "start", "time of day"),
    HOUSE: ("house", "greenhouse", "net house", "tunnel", "house name"),
    BAY: ("bay", "bay name", "compartment", "section"),
    PLANT: ("plant", "plant no", "plant nr", "plant number", "marked plant", "no", "nr", "#", "number"),
    SCOUT: ("scout", "observer", "walked by", "measured by"),
    STATE: ("state", "plant state", "condition"),
    NOTE: ("note", "notes", "remark", "remarks", "comment", "comments"),
    KG: ("kg", "kilo", "kilos", "weight", "mass", "kilograms", "picked", "net weight", "yield", "harvest", "picked kg", "amount"),
    FRUIT: ("fruit", "fruits", "pieces", "count", "number of fruit", "fruit count"),
    GRADE: ("grade", "class", "quality"),
    COLOUR: ("colour", "color"),
    PICKER: ("picker", "picked by", "person"),
    TEMPERATURE: ("temperature", "temp", "air temperature", "air temp", "temperature celsius", "temp c"),
    LOW: ("low", "min", "minimum", "lowest", "min temp", "min temperature", "minimum temperature", "temp min", "temperature min"),
    HIGH: ("high", "max", "maximum", "highest", "max temp", "max temperature", "maximum temperature", "temp max", "temperature max"),
    HUMIDITY: ("humidity", "rh", "relative humidity", "air humidity"),
    HUMIDITY_LOW: ("min humidity", "minimum humidity", "lowest humidity", "humidity min", "min rh", "rh min", "min relative humidity"),
    HUMIDITY_HIGH: ("max humidity", "maximum humidity", "highest humidity", "humidity max", "max rh", "rh max", "max relative humidity"),
    LIGHT: ("par", "ppfd", "photosynthetic light", "photon flux", "photosynthetic photon flux density"),
    LIGHT_SUM: ("dli", "daily light integral", "light integral", "light sum"),
    "height_cm": ("height", "plant height", "head height", "length"),
    "last_tie_cm": ("last tie", "tie", "tied at"),
    "stem_diameter_mm": ("stem diameter", "stem", "diameter"),
    "nodes": ("nodes", "node"),
    "trusses": ("trusses", "truss"),
    "leaves": ("leaves", "leaf"),
    "flowers": ("flowers", "flower", "open flowers"),
    "fruit_set": ("set", "fruit set", "new fruit"),
    "fruit_green": ("green", "fruit green", "green fruit"),
    "fruit_turning": ("turning", "fruit turning", "breaker"),
    "fruit_coloured": ("coloured", "colored", "fruit coloured", "red", "ripe"),
    "fruit_picked": ("picked", "fruit picked"),
}  # fmt: skip
_NOT_OF_TODAY = {"last", "previous", "prev", "mean", "average", "avg", "total", "sum", "target"}
_EXTREMES = {"min", "minimum", "lowest", "max", "maximum", "highest"}
_CELSIUS, _FAHRENHEIT = ("c", "°c", "degc", "celsius"), ("f", "°f", "degf", "fahrenheit")
_PERCENT = ("", "%", "%rh", "percent", "pct")
_PHOTONS = (
    "",
    "µmol/m²/s",
    "µmol/m2/s",
    "µmol/(m²s)",
    "µmolm-2s-1",
    "µmolm⁻²s⁻¹",
    "umol/m2/s",
    "umol/m²/s",
    "umolm-2s-1",
)
_LIGHT_SUMS = ("", "mol/m²", "mol/m2", "mol/m²/d", "mol/m2/d", "mol/m²/day", "mol/m2/day", "molm-2d-1")
_LENGTHS = {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": 2.54}
_MASSES = {"kg": 1.0, "g": 0.001, "t": 1000.0, "lb": 0.45359237}
"""Exact by definition: international pound and inch (NIST SP 811, appendix B.8)."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How a number of a column becomes one in the program's own unit: (value − *less*) × *times*.

    *unit* is what may stand behind a number in a cell; *known*: the unit in the heading is one of ours.
    """

    times: float = 1.0
    less: float = 0.0
    unit: str = ""
    known: bool = True


def scale_of(holds: str, unit: str) -> Scale:
    """Return how the numbers of a column are taken, by the unit in its heading."""
    if holds in {TEMPERATURE, LOW, HIGH}:
        if unit in _FAHRENHEIT:
            return Scale(1 / 1.8, 32.0, unit)
        return Scale(unit=unit or "°c", known=unit in ("", *_CELSIUS))
    for several, units in (
        ((HUMIDITY, HUMIDITY_LOW, HUMIDITY_HIGH), _PERCENT), ((LIGHT,), _PHOTONS), ((LIGHT_SUM,), _LIGHT_SUMS),
    ):  # fmt: skip
        if holds in several:
            return Scale(unit=unit or units[1], known=unit in {one.casefold() for one in units})
    if holds == KG:
        return Scale(_MASSES.get(unit or "kg", 1.0), 0.0, unit or "kg", unit in ("", *_MASSES))
    if holds.endswith("_cm"):
        return Scale(_LENGTHS.get(unit or "cm", 1.0), 0.0, unit or "cm", unit in ("", *_LENGTHS))
    if holds.endswith("_mm"):
        return Scale(_LENGTHS.get(unit or "mm", 0.1) * 10, 0.0, unit or "mm", unit in ("", *_LENGTHS))
    return Scale()


def needed(kind: Kind, holds: set[str]) -> tuple[str, ...]:
    """Return what a file of a kind lacks, as words."""
    lacking = []
    if DAY not in holds and kind is not Kind.READINGS:
        lacking.append(_("day"))
    if kind is not Kind.CLIMATE and BAY not in holds:
        lacking.append(_("bay"))
    if kind is Kind.READINGS:
        lacking += [_("plant")] if PLANT not in holds else []
        lacking += [] if holds & set(READING_FIELDS) else [_("something measured")]
    if kind is Kind.PICKS and KG not in holds:
        lacking.append(_("kilograms"))
    if kind is Kind.CLIMATE and not _measures_air(holds):
        lacking.append(_("a temperature, or lowest and highest"))
    return tuple(lacking)


def _measures_air(holds: set[str]) -> bool:
    """Tell whether a logger's columns hold something whole: humidity or light may come by themselves, for days kept."""
    pairs = ({LOW, HIGH}, {HUMIDITY_LOW, HUMIDITY_HIGH})
    return bool(holds & {TEMPERATURE, HUMIDITY, LIGHT, LIGHT_SUM}) or any(pair <= holds for pair in pairs)


Vocabulary = Mapping[Kind, Mapping[str, str]]
"""Kind of file → phrase in a heading → what such a column holds."""


def vocabulary(crops: Crops) -> Vocabulary:
    """Return the phrases that are understood, the crops' own labels among them."""
    return {kind: _names(kind, crops) for kind in PARTS}


def understood(headings: Sequence[Heading], known: Vocabulary) -> int:
    """Return how many of some headings are understood, for whatever kind of file understands most."""
    return max(len(match(kind, headings, known)) for kind in PARTS)


def match(kind: Kind, headings: Sequence[Heading], known: Vocabulary) -> dict[int, str]:
    """Return column → what it holds, as far as the headings say; no two columns hold the same."""
    names = known[kind]
    taken: dict[str, tuple[int, int]] = {}
    for heading in headings:
        holds, strength = _best(heading, names)
        if holds and strength > taken.get(holds, (0, 0))[0]:
            taken[holds] = (strength, heading.column)
    return {column: holds for holds, (_strength, column) in taken.items()}


def _names(kind: Kind, crops: Crops) -> dict[str, str]:
    found: dict[str, str] = {}
    for holds in PARTS[kind]:
        for phrase in WORDS.get(holds, ()):
            found.setdefault(phrase, holds)
    if kind is Kind.READINGS:
        for profile in crops.profiles.values():
            for field in profile.fields:
                found.setdefault(_(field.label).casefold(), field.key)
    return found


def _best(heading: Heading, names: Mapping[str, str]) -> tuple[str, int]:
    """Return what a heading says and how surely: the whole of it, or the longest phrase in it."""
    if heading.name in names:
        return names[heading.name], 100
    if not heading.name and heading.unit in names:
        return names[heading.unit], 50
    spoken = f" {heading.name} "
    inside = [phrase for phrase in names if f" {phrase} " in spoken and len(phrase) > 2]
    if not inside:
        return "", 0
    longest = max(inside, key=len)
    rest = set(heading.name.split()) - set(longest.split())
    holds = names[longest]
    other = rest & _NOT_OF_TODAY or (holds in {TEMPERATURE, HUMIDITY} and rest & _EXTREMES)
    return ("", 0) if other else (holds, len(longest))


def with_said(matched: Mapping[int, str], said: Mapping[int, str] | None) -> dict[int, str]:
    """Return column → what it holds: as said, and as recognised where nothing was said."""
    told = said or {}
    rest = {column: holds for column, holds in matched.items() if holds not in told.values()}
    return {column: holds for column, holds in {**rest, **told}.items() if holds}


def likely_kind(
    headings: Sequence[Heading], known: Vocabulary, said: Mapping[int, str] | None = None
) -> Kind | None:
    """Return the kind of file whose columns are all there, the best understood one first.

    *said* is what a person said of some columns: a kind that can't hold it is none.
    """
    told = set((said or {}).values()) - {""}
    found = {
        kind: with_said(match(kind, headings, known), said)
        for kind, parts in PARTS.items()
        if told <= set(parts)
    }
    whole = [kind for kind, columns in found.items() if not needed(kind, set(columns.values()))]
    return max(whole, key=lambda kind: len(found[kind]), default=None)


def digest(headings: Sequence[Heading]) -> str:
    """Return what a layout is remembered by: its headings in order."""
    texts = json.dumps([(one.column, one.text.casefold()) for one in headings], ensure_ascii=False)
    return hashlib.sha256(texts.encode("utf-8", "surrogatepass")).hexdigest()


def remember(kind: Kind, columns: Mapping[int, str], options: Options) -> str:
    """Return a matching as it is kept."""
    kept = {
        "kind": kind.value,
        "columns": {str(column): holds for column, holds in sorted(columns.items())},
        "month_first": options.month_first,
        "house_id": options.house_id,
    }
    return json.dumps(kept, sort_keys=True)


def recall(layout: ImportLayout | None) -> Options | None:
    """Return a matching that was kept, or nothing when it is none of ours."""
    try:
        kept = json.loads(layout.matching) if layout is not None else None
        if kept is None:
            return None
        columns = {int(column): str(holds) for column, holds in kept["columns"].items()}
        month_first, house_id = kept.get("month_first"), kept.get("house_id")
        return Options(
            Kind(kept["kind"]),
            columns=columns,
            month_first=month_first if isinstance(month_first, bool) else None,
            house_id=house_id if isinstance(house_id, str) else None,
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def columns_of(table: Table, matched: Mapping[int, str]) -> tuple[Column, ...]:
    """Return every column with its heading, its first values and what it was taken for."""
    from bayround.actions.imports.filling import shown_value

    examples: dict[int, list[str]] = {heading.column: [] for heading in table.headings}
    for place, (_number, cells) in enumerate(table.rows()):
        if place >= 3:
            break
        for column, value in cells.items():
            examples[column].append(shown_value(value)[:40])
    return tuple(
        Column(one.column, one.text, tuple(examples[one.column]), matched.get(one.column, ""))
        for one in table.headings
    )


def label(holds: str) -> str:
    """Return what a column can hold, as a person reads it."""
    known = {
        "": _("(nothing)"), DAY: _("Day"), TIME: _("Time"), HOUSE: _("House"), BAY: _("Bay"), PLANT: _("Plant number"),
        SCOUT: _("Scout"), STATE: _("State"), NOTE: _("Note"), KG: _("Kilograms"), FRUIT: _("Number of fruit"),
        GRADE: _("Grade"), COLOUR: _("Colour"), PICKER: _("Picked by"), TEMPERATURE: _("Temperature"),
        LOW: _("Lowest"), HIGH: _("Highest"), HUMIDITY: _("Humidity"), HUMIDITY_LOW: _("Lowest humidity"),
        HUMIDITY_HIGH: _("Highest humidity"), LIGHT: _("Light (µmol/m²/s)"), LIGHT_SUM: _("Light of the day (mol/m²)"),
    }  # fmt: skip
    if holds in known:
        return known[holds]
    words = holds.removesuffix("_cm").removesuffix("_mm").replace("_", " ")
    return words[:1].upper() + words[1:]
