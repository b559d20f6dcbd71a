"""Blocks onto pages: none is split unless it is longer than a page, and then its headings are repeated."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bayround.paper.pages.drawing import MARGIN_MM, Item, Page, Paper, moved

GAP_MM = 5.0
"""Between two blocks on a page."""


@dataclass(frozen=True, slots=True)
class Part:
    """A strip of a block that is never cut: its height and what stands in it, from its top."""

    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Parts that belong together. *again* maps a part's place to what is repeated above it on a further page."""

    parts: tuple[Part, ...]
    again: Callable[[int], tuple[Part, ...]] = lambda _place: ()
    own_page: bool = False

    @property
    def height(self) -> float:
        """Height of all parts."""
        return sum(part.height for part in self.parts)


Head = Callable[[int, int], tuple[Item, ...]]
"""(page, pages) → what stands on top of that page."""


def onto_pages(paper: Paper, head: Head, head_height: float, blocks: Sequence[Block]) -> tuple[Page, ...]:
    """Return the pages; without a block one page with its head alone.

    Raises:
        ValueError: when a single part is higher than a page.
    """
    top, bottom = MARGIN_MM + head_height, paper.height_mm - MARGIN_MM
    filled: list[list[Item]] = [[]]
    y = top
    for block in blocks:
        gap = 0.0 if y == top else GAP_MM
        if y > top and (block.own_page or y + gap + block.height > bottom):
            filled.append([])
            y, gap = top, 0.0
        y += gap
        for place, part in enumerate(block.parts):
            if y + part.height > bottom:
                filled.append([])
                y = top
                for repeated in block.again(place):
                    filled[-1] += moved(repeated.items, y)
                    y += repeated.height
                if y + part.height > bottom:
                    raise ValueError("A part is higher than a page.")
            filled[-1] += moved(part.items, y)
            y += part.height
    return tuple(
        Page((*moved(head(number, len(filled)), MARGIN_MM), *items)) for number, items in enumerate(filled, 1)
    )
