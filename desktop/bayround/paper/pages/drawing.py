"""What a page is made of: text, lines and boxes, in millimetres from its top left corner. Black and white."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Align = Literal["left", "right", "center"]
Stand = Literal["top", "middle", "bottom"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright."""

    name: str
    width_mm: float
    height_mm: float


A4 = Paper("A4", 210.0, 297.0)
LETTER = Paper("letter", 215.9, 279.4)
PAPERS = {"a4": A4, "letter": LETTER}
"""ISO 216 A4 and US letter (8.5 × 11 in)."""

MARGIN_MM = 12.0
"""Left, right, top and bottom: more than any desk printer leaves white, and room for a clip on top."""


@dataclass(frozen=True, slots=True)
class Text:
    """Text in a rectangle; it is made smaller where it would not fit, never cut. *wrap* breaks it into lines."""

    x: float
    y: float
    width: float
    height: float
    text: str
    size_pt: float = 9.0
    bold: bool = False
    align: Align = "left"
    stand: Stand = "middle"
    wrap: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    x: float
    y: float
    to_x: float
    to_y: float
    weight_mm: float = 0.2


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle; *ground* is its grey, 0 black to 1 white, or nothing."""

    x: float
    y: float
    width: float
    height: float
    weight_mm: float = 0.2
    ground: float | None = None


Item = Text | Line | Box


@dataclass(frozen=True, slots=True)
class Page:
    """One page."""

    items: tuple[Item, ...]

    @property
    def texts(self) -> tuple[str, ...]:
        """Every text on the page, in the order drawn."""
        return tuple(item.text for item in self.items if isinstance(item, Text))


@dataclass(frozen=True, slots=True)
class Document:
    """Pages of one size."""

    title: str
    paper: Paper
    pages: tuple[Page, ...]


def moved(items: Iterable[Item], down: float) -> tuple[Item, ...]:
    """Return the items further down on the page."""
    return tuple(
        replace(item, y=item.y + down, to_y=item.to_y + down)
        if isinstance(item, Line)
        else replace(item, y=item.y + down)
        for item in items
    )
