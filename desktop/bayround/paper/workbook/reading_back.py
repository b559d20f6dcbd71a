"""A workbook read again: what ties it to a farm file, and its sheets as rows of plain values.

The file comes from elsewhere: it is looked at before it is unpacked, formulas are taken as text and never
reckoned, and whatever is wrong with it is told in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from bayround.facts.problems import Problem, Refused
from bayround.facts.weeks import Week
from bayround.paper import zip_limits
from bayround.paper.workbook import closing
from bayround.words import _

Row = tuple[Any, ...]

_MOST_CELLS = 5_000_000
_WIDEST, _LONGEST = 300, 400_000


@dataclass(frozen=True, slots=True)
class Ties:
    """What the document's properties say. *corrections* is the length of the history, *head* its newest hash."""

    farm_id: str
    week: Week
    as_of: date
    looked_on: date
    revision: int
    digest: str
    corrections: int
    head: str
    closed: str
    version: str


@dataclass(frozen=True, slots=True)
class ReadBack:
    """A workbook: its ties, and sheet name → rows without the empty cells at their ends."""

    ties: Ties
    sheets: dict[str, list[Row]]


def read(path: Path) -> ReadBack:
    """Read a workbook that Bayround wrote.

    Raises:
        Problem: no workbook, a damaged one, one beyond the limits, or one that another program made.
    """
    import openpyxl

    zip_limits.refuse_strange(path, zip_limits.Limits())
    with _in_words(path):
        workbook: Any = openpyxl.load_workbook(path, read_only=True, data_only=False, keep_links=False)
        try:
            found = {item.name: item.value for item in workbook.custom_doc_props.props}
            ties = _ties(path, {str(name): str(value) for name, value in found.items()})
            return ReadBack(ties, _sheets(path, workbook))
        finally:
            workbook.close()


def rows_of(rows: Iterable[Iterable[Any]]) -> list[Row]:
    """Return rows of cells as plain values: whole numbers as numbers, midnight as a day, no empty tail."""
    return [_trimmed(row) for row in rows]


def _sheets(path: Path, workbook: Any) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = {}
    cells = 0
    for sheet in workbook.worksheets:
        sheet.reset_dimensions()
        rows = []
        for row in sheet.iter_rows(max_row=_LONGEST, max_col=_WIDEST, values_only=True):
            cells += len(row)
            if cells > _MOST_CELLS:
                raise Problem(_("“{name}” holds more cells than a week has.").format(name=path.name))
            rows.append(_trimmed(row))
        found[sheet.title] = rows
    return found


def _trimmed(row: Iterable[Any]) -> Row:
    values = [_plain(value) for value in row]
    while values and values[-1] is None:
        values.pop()
    return tuple(values)


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.date() if (value.hour, value.minute, value.second) == (0, 0, 0) else value
    if isinstance(value, bool):
        return value
    if isinstance(value, int | float):
        return float(f"{value:.12g}")
    return value or None


def _ties(path: Path, found: dict[str, str]) -> Ties:
    try:
        return Ties(
            farm_id=found[closing.FARM],
            week=Week.parse(found[closing.WEEK]),
            as_of=date.fromisoformat(found[closing.AS_OF]),
            looked_on=date.fromisoformat(found[closing.LOOKED_ON]),
            revision=int(found[closing.REVISION]),
            digest=found[closing.DIGEST],
            corrections=int(found[closing.CORRECTIONS]),
            head=found.get(closing.HEAD, ""),
            closed=found.get(closing.CLOSED, ""),
            version=found.get(closing.VERSION, ""),
        )
    except (KeyError, ValueError, Refused) as error:
        raise Problem(
            _("“{name}” does not say which farm and week it is of.").format(name=path.name),
            _("Nothing was compared."),
            _("Choose a weekly workbook that Bayround wrote; saving it anew in some programs drops this."),
        ) from error


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Whatever a strange file makes the reader stumble over is the file's fault."""
    try:
        yield
    except Problem:
        raise
    except (Exception, RecursionError) as error:
        raise Problem(
            _("“{name}” can't be read: it is damaged or no workbook.").format(name=path.name),
            _("Nothing was compared."),
        ) from error
