"""A second pass over what was keyed in: a few cells are typed again, unseen, and compared.

Keying a sample again finds slips that no limit can (a likely wrong number). Which cells: drawn by chance, the same
ones for the same visit. How many: `CELLS` (common practice, no source); the interval says what so few can tell.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import TypeVar

from bayround.agronomy.incidence import wilson_interval
from bayround.figures.figure import Figure, Why
from bayround.words import _

CELLS = 20
Item = TypeVar("Item")


def draw(cells: Sequence[Item], visit_id: str, wanted: int = CELLS) -> tuple[Item, ...]:
    """Return *wanted* of the cells (all, when there are fewer), in the order in which they stand."""
    chance = random.Random(visit_id)
    places = sorted(chance.sample(range(len(cells)), min(wanted, len(cells))))
    return tuple(cells[place] for place in places)


def agreement(same: int, compared: int) -> Figure:
    """Return the share of cells that were typed alike twice, with its Wilson interval."""
    why = Why(
        _("Cells typed alike both times ÷ cells typed twice; the interval is Wilson's."),
        ((_("Typed twice"), str(compared)), (_("Alike"), str(same))),
    )
    figure = Figure(
        "second_pass_agreement_percent",
        _("Alike in the second pass"),
        None,
        "%",
        0,
        why,
        n=compared,
        n_of="cells",
        missing=_("Nothing was typed a second time."),
    )
    if not compared:
        return figure
    share = wilson_interval(same, compared)
    return Figure(
        figure.id, figure.label, same / compared * 100, "%", 0, why, share.low * 100, share.high * 100,
        n=compared, n_of="cells",
    )  # fmt: skip
