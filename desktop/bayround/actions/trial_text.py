"""Lines pasted from a spreadsheet, or a CSV file: plots with block, treatment and value."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass

from bayround.facts.problems import Refused
from bayround.words import _

_HEADINGS = {
    "plot": "plot",
    "name": "plot",
    "block": "block",
    "replicate": "block",
    "treatment": "main",
    "main": "main",
    "whole": "main",
    "within": "sub",
    "sub": "sub",
    "value": "value",
    "yield": "value",
}
_MOST_ROWS = 100_000


@dataclass(frozen=True, slots=True)
class PlotRow:
    """One line: a plot with its place and value (none for a lost plot)."""

    plot: str
    block: str
    main_level: str
    sub_level: str
    value: float | None


def parse(text: str) -> tuple[PlotRow, ...]:
    """Read lines under headings: treatment and value are needed; plot, block, within are not.

    Columns stand apart by tab, semicolon or comma. An empty value is a lost plot.

    Raises:
        Refused: when the headings or a line can't be read.
    """
    rows, decimal_comma = _rows(text)
    if not rows:
        raise Refused(_("There is nothing to read."), to_do=_("Paste the headings and a line for each plot."))
    columns = {
        _HEADINGS[name]: place for place, cell in enumerate(rows[0]) if (name := cell.casefold()) in _HEADINGS
    }
    if not {"main", "value"} <= columns.keys():
        raise Refused(
            _("The first line has to name the columns."),
            _("Nothing was kept."),
            _("Headings are: plot, block, treatment, within, value. Treatment and value are needed."),
        )
    found = []
    for number, row in enumerate(rows[1:], start=2):
        cells = {key: row[place] if place < len(row) else "" for key, place in columns.items()}
        if not cells["main"]:
            raise Refused(_("Line {n} has no treatment.").format(n=number), _("Nothing was kept."))
        plot = cells.get("plot") or str(number - 1)
        value = _number(cells["value"], number, decimal_comma)
        found.append(PlotRow(plot, cells.get("block", ""), cells["main"], cells.get("sub", ""), value))
    return tuple(found)


def parse_values(text: str) -> dict[str, float | None]:
    """Read lines of plot and value, with or without headings.

    Raises:
        Refused: when a line can't be read, or a plot stands twice.
    """
    rows, decimal_comma = _rows(text)
    found: dict[str, float | None] = {}
    for number, row in enumerate(rows, start=1):
        if number == 1 and row[0].casefold() in _HEADINGS:
            continue
        if len(row) < 2:
            raise Refused(_("Line {n} needs a plot and a value.").format(n=number), _("Nothing was kept."))
        if row[0] in found:
            raise Refused(_("Plot “{name}” stands twice.").format(name=row[0]), _("Nothing was kept."))
        found[row[0]] = _number(row[-1], number, decimal_comma)
    return found


def _rows(text: str) -> tuple[list[list[str]], bool]:
    """Return the cells, and whether a comma may be a decimal mark."""
    mark = "\t" if "\t" in text else ";" if ";" in text else ","
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff").strip()), delimiter=mark)
    rows = [[cell.strip() for cell in row] for row in reader if any(cell.strip() for cell in row)]
    if len(rows) > _MOST_ROWS:
        raise Refused(_("There are too many lines ({n}).").format(n=len(rows)))
    return rows, mark != ","


def _number(text: str, line: int, decimal_comma: bool) -> float | None:
    if not text or text in {"-", "–", "."}:
        return None
    try:
        value = float(text.replace(",", ".") if decimal_comma else text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise Refused(
            _("Line {n}: “{text}” is not a number.").format(n=line, text=text), _("Nothing was kept.")
        )
    return value
