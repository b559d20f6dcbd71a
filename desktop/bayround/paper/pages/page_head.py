"""The top of every printed page: what it is, of which farm, for whom, which page of how many."""

from __future__ import annotations

from bayround.paper.pages.drawing import MARGIN_MM, Item, Line, Paper, Text
from bayround.words import _

HEIGHT_MM = 20.5


def head(paper: Paper, title: str, right: str, note: str, page: int, pages: int) -> tuple[Item, ...]:
    """Return the head of one page: title and page number, *right* below the number, a *note* for the reader."""
    width = paper.width_mm - 2 * MARGIN_MM
    return (
        Text(MARGIN_MM, 0, width - 30, 6.5, title, 12, bold=True),
        Text(
            MARGIN_MM + width - 30,
            0,
            30,
            6.5,
            _("Page {page} of {pages}").format(page=page, pages=pages),
            9,
            align="right",
        ),
        Text(MARGIN_MM, 6.5, width, 5, right, 9),
        Text(MARGIN_MM, 11.5, width, 6.8, note, 7.5, stand="top", wrap=True),
        Line(MARGIN_MM, 18.7, MARGIN_MM + width, 18.7, 0.5),
    )
