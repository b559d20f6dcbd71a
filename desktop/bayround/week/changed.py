"""What changed since last week by more than its uncertainty: the same answer for screen and workbook."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from bayround.figures.figure import Figure
from bayround.week.columns import Column
from bayround.week.moved import Moved, between
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.words import _

COMPARED = ("fruit_per_m2", "growth_cm_week")
"""Figures that are compared with last week's, besides the incidence of each organism."""

_INCIDENCE = "incidence_"
_BEHIND = {"load_over_band": "fruit_per_m2", "incidence_percent": _INCIDENCE}


@dataclass(frozen=True, slots=True)
class Change:
    """A figure of a bay whose interval lies wholly above or below last week's."""

    seen: BayWeek
    moved: Moved

    @property
    def before(self) -> Figure:
        """Last week's figure."""
        return self.moved.before

    @property
    def now(self) -> Figure:
        """This week's figure."""
        return self.moved.now

    @property
    def rose(self) -> bool:
        """Whether it rose."""
        return self.moved.rose


def changes(snapshot: WeekSnapshot) -> tuple[list[Change], int]:
    """Return the changes beyond uncertainty since last week, clearest first, and how many figures were compared."""
    all_moved = [
        Change(seen, moved) for seen, before in _pairs(snapshot) for moved in _all_moved(seen, before)
    ]
    found = [change for change in all_moved if change.moved.is_clear]
    found.sort(
        key=lambda change: (
            COMPARED.index(change.now.id) if change.now.id in COMPARED else -1,
            -change.moved.gap,
        )
    )
    return found, len(all_moved)


def with_changes(snapshot: WeekSnapshot) -> WeekSnapshot:
    """Return the same week, each bay with what was compared with last week (`BayWeek.since`)."""
    before = {seen.bay.id: figures for seen, figures in _pairs(snapshot)}
    bays = tuple(
        replace(seen, since=tuple(_all_moved(seen, before[seen.bay.id]))) if seen.bay.id in before else seen
        for seen in snapshot.bays
    )
    return replace(snapshot, bays=bays)


def moved_of(seen: BayWeek, figure_id: str) -> Moved | None:
    """Return how a figure moved since last week; of several organisms the one that moved most clearly."""
    wanted = _BEHIND.get(figure_id, figure_id)
    found = [
        moved
        for moved in seen.since
        if moved.now.id == wanted or (wanted == _INCIDENCE and moved.now.id.startswith(_INCIDENCE))
    ]
    return max(found, key=_how_clearly, default=None)


def _how_clearly(moved: Moved) -> tuple[float, float]:
    """Clear changes by how far their intervals lie apart, the others by how far their values do."""
    apart = abs((moved.now.value or 0.0) - (moved.before.value or 0.0))
    return max(moved.gap, 0.0), apart


def can_be_compared(figure_id: str) -> bool:
    """Tell whether a figure has an interval in both weeks, so that a change can be told from chance."""
    wanted = _BEHIND.get(figure_id, figure_id)
    return wanted in COMPARED or wanted == _INCIDENCE


def _pairs(snapshot: WeekSnapshot) -> Iterator[tuple[BayWeek, Mapping[str, Figure]]]:
    """Yield the bays visited this week and last week, with last week's figures."""
    last_week = snapshot.week.plus(-1)
    for seen in snapshot.bays:
        if seen.visit is None:
            continue
        history = (snapshot.earlier or {}).get(seen.bay.id, ())
        if history and history[-1][0] == last_week:
            yield seen, history[-1][1]


def _all_moved(seen: BayWeek, before: Mapping[str, Figure]) -> Iterator[Moved]:
    organisms = (key for key in before if key.startswith(_INCIDENCE) and key != "incidence_percent")
    for figure_id in (*organisms, *COMPARED):
        moved = between(before.get(figure_id), seen.figures.get(figure_id))
        if moved is not None:
            yield moved


def _text(figure_id: str, named: bool = False) -> Column:
    headings = {
        "growth_cm_week": ("Growth since last week", "cm/week"),
        "fruit_per_m2": ("Fruit load since last week", "fruit/m²"),
        "incidence_percent": ("Incidence since last week", "%"),
    }

    def get(seen: BayWeek) -> str | None:
        moved = moved_of(seen, figure_id)
        if moved is None:
            return None
        if not named:
            return moved.text
        return f"{moved.text} {_label(moved)}" if moved.before.value or moved.now.value else _("none found")

    heading, unit = headings[figure_id]
    return Column(f"since_{figure_id}", heading, unit, get, 22)


def _label(moved: Moved) -> str:
    return moved.now.label[:1].lower() + moved.now.label[1:]


COLUMNS = (_text("growth_cm_week"), _text("fruit_per_m2"), _text("incidence_percent", named=True))
"""Columns of the comparison, for bays of `with_changes`; in the order of the shared column list."""


def sentence(snapshot: WeekSnapshot) -> str:
    """Return in words how many figures were compared and how many moved beyond their uncertainty."""
    found, compared = changes(snapshot)
    last_week = snapshot.week.plus(-1)
    if not compared:
        return _("No bay was visited both this week and in {week}, so nothing can be compared.").format(
            week=last_week
        )
    return _("Since {week}: {n} of {all} figures moved by more than their uncertainty.").format(
        week=last_week, n=len(found), all=compared
    )
