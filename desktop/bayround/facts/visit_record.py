"""One visit with everything seen at it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, Reading, Visit, WeedNote


@dataclass(frozen=True, slots=True)
class VisitRecord:
    """One visit with everything seen at it. Readings are keyed by marked plant."""

    visit: Visit
    readings: Mapping[str, Reading]
    checks: tuple[PestCheck, ...] = ()
    cards: tuple[CardCount, ...] = ()
    weeds: tuple[WeedNote, ...] = ()
    answers: tuple[DoubtAnswer, ...] = ()
    aside: frozenset[str] = frozenset()
    """Marked plants chosen for what was seen on them: read, but part of no mean."""

    @property
    def day(self) -> date:
        """Day of the visit."""
        return self.visit.visited_on

    @property
    def holds_anything(self) -> bool:
        """Whether anything was seen or noted; a blank sheet is no visit."""
        read = any(
            one != Reading(one.id, one.visit_id, one.marked_plant_id) for one in self.readings.values()
        )
        return bool(read or self.checks or self.cards or self.weeds or self.visit.note.strip())
