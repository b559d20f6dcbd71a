"""A figure of every group on paper: a bar with its interval, black and white."""

from __future__ import annotations

from collections.abc import Sequence

from bayround import words
from bayround.figures.figure import Figure
from bayround.paper.pages.drawing import MARGIN_MM, Box, Item, Line, Text
from bayround.paper.pages.paging import Part
from bayround.words import _

_STEP_MM, _NAMES_MM, _VALUES_MM = 6.2, 62.0, 24.0


def interval_chart(named: Sequence[tuple[str, Figure]], width: float) -> Part:
    """Return the chart of (name, figure): a grey bar from 0 to the figure, a line over its interval."""
    ends = [end for _n, one in named for end in (one.value, one.high) if end is not None]
    top = max([*ends, 0.0]) or 1.0
    left, room = MARGIN_MM + _NAMES_MM, width - _NAMES_MM - _VALUES_MM

    def x(value: float) -> float:
        return left + room * max(value, 0.0) / top

    items: list[Item] = []
    for place, (name, figure) in enumerate(named):
        y = place * _STEP_MM
        items.append(Text(MARGIN_MM, y, _NAMES_MM - 2, _STEP_MM, name, 8.5, align="right"))
        right = left
        if figure.value is not None:
            items.append(Box(left, y + 1.4, max(x(figure.value) - left, 0.2), _STEP_MM - 2.8, 0.2, 0.85))
            right = x(figure.value)
        if figure.low is not None and figure.high is not None:
            middle, right = y + _STEP_MM / 2, x(figure.high)
            items.append(Line(x(figure.low), middle, right, middle, 0.5))
            items += [Line(at, middle - 1.2, at, middle + 1.2, 0.5) for at in (x(figure.low), right)]
        one_bay = _(" one bay") if figure.n == 1 and figure.value is not None else ""
        items.append(Text(right + 1.5, y, _VALUES_MM - 1.5, _STEP_MM, figure.text + one_bay, 8.5))
    bottom = len(named) * _STEP_MM
    items.append(Line(left, 0, left, bottom, 0.3))
    items.append(Text(left - 5, bottom, 10, 5, "0", 7.5, align="center"))
    items.append(Text(left + room - 10, bottom, 20, 5, words.number(top, 2), 7.5, align="center"))
    return Part(bottom + 6, tuple(items))
