"""Tables on pages: headings that are repeated, rows as high as their longest text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bayround.paper.pages.drawing import MARGIN_MM, Box, Item, Line, Text
from bayround.paper.pages.measure import height_mm
from bayround.paper.pages.paging import Block, Part
from bayround.words import _

_PT, _HEAD_PT = 8.5, 7.5
_APART_MM = 2.5
"""Words that follow a column of numbers stand this far from them."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column; width 0 takes what the others leave."""

    title: str
    width_mm: float
    right: bool = False


def table(title: str, columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float) -> Block:
    """Return a table as a block; without a row it says that there is nothing."""
    heading, heads = _heading(title, width), _heads(columns, width)
    if not rows:
        return Block((heading, Part(6.0, (Text(MARGIN_MM, 0, width, 6, _("Nothing."), _PT),))))
    parts = (heading, heads, *(_row(columns, row, width) for row in rows))

    def again(_place: int) -> tuple[Part, ...]:
        return _heading(_("{title} (continued)").format(title=title), width), heads

    return Block(parts, again)


def _heading(title: str, width: float) -> Part:
    return Part(7.0, (Text(MARGIN_MM, 0, width, 6, title, 11, bold=True),))


def _edges(columns: Sequence[Column], width: float) -> list[tuple[float, float]]:
    rest = width - sum(column.width_mm for column in columns)
    found, x = [], MARGIN_MM
    after_numbers = False
    for column in columns:
        wide = column.width_mm or rest
        apart = _APART_MM if after_numbers and not column.right else 0.0
        found.append((x + apart, wide - apart))
        x += wide
        after_numbers = column.right
    return found


def _heads(columns: Sequence[Column], width: float) -> Part:
    edges = _edges(columns, width)
    high = max(
        height_mm(column.title, wide - 1.5, _HEAD_PT, bold=True)
        for column, (_x, wide) in zip(columns, edges, strict=True)
    )
    high = max(high + 1.5, 6.0)
    items: list[Item] = [Box(MARGIN_MM, 0, width, high, 0.2, 0.9)]
    for column, (x, wide) in zip(columns, edges, strict=True):
        side = "right" if column.right else "left"
        items.append(
            Text(x + 0.7, 0, wide - 1.4, high, column.title, _HEAD_PT, bold=True, align=side, wrap=True)  # type: ignore[arg-type]
        )
    return Part(high, tuple(items))


def _row(columns: Sequence[Column], cells: Sequence[str], width: float) -> Part:
    edges = _edges(columns, width)
    high = max(height_mm(text, wide - 1.5, _PT) for text, (_x, wide) in zip(cells, edges, strict=True))
    high = max(high + 1.2, 5.2)
    items: list[Item] = []
    for column, text, (x, wide) in zip(columns, cells, edges, strict=True):
        side = "right" if column.right else "left"
        items.append(Text(x + 0.7, 0, wide - 1.4, high, text, _PT, align=side, wrap=True))  # type: ignore[arg-type]
    items.append(Line(MARGIN_MM, high, MARGIN_MM + width, high, 0.1))
    return Part(high, tuple(items))
