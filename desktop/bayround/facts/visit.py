"""One visit with everything that was seen at it."""

from __future__ import annotations

from dataclasses import dataclass

from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, Reading, Visit, WeedNote
from bayround.facts.work import Correction


@dataclass(frozen=True, slots=True)
class VisitFacts:
    """A visit and all that hangs off it, as it was at one moment (the farm's *revision*)."""

    visit: Visit
    readings: tuple[Reading, ...] = ()
    pest_checks: tuple[PestCheck, ...] = ()
    card_counts: tuple[CardCount, ...] = ()
    weed_notes: tuple[WeedNote, ...] = ()
    doubt_answers: tuple[DoubtAnswer, ...] = ()
    corrections: tuple[Correction, ...] = ()
    """What was changed or added after it was finished, oldest first."""
    revision: int = 0
