"""The lines under a table that say why cells are empty."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bayround import words
from bayround.figures.figure import Figure
from bayround.paper.workbook.contents import bay_name
from bayround.week.columns import Column
from bayround.week.snapshot import BayWeek
from bayround.words import _


def lines(bays: Iterable[BayWeek], columns: Sequence[Column]) -> tuple[str, ...]:
    """Return one line for each reason why a figure is missing, with its columns and bays."""
    reasons: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    for seen in bays:
        for column in columns:
            figure = column.get(seen)
            if isinstance(figure, Figure) and figure.value is None:
                headings, places = reasons.setdefault(figure.missing, ({}, {}))
                headings[_(column.heading)] = None
                places[bay_name(seen)] = None
    return tuple(
        _("Not known: {columns} in {bays}. {reason}").format(
            columns=words.listing(list(headings), 8), bays=words.listing(list(places), 8), reason=reason
        )
        for reason, (headings, places) in reasons.items()
    )
