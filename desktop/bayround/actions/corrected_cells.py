"""What was put right in a visit: value before, who, when and why."""

from __future__ import annotations

from bayround.facts.season import SeasonFacts
from bayround.facts.visit import VisitFacts
from bayround.records import history
from bayround.week.visit_sheet import Corrected


def of_visit(seen: VisitFacts, season: SeasonFacts) -> tuple[Corrected, ...]:
    """Return what was put right in a visit, with who and why."""
    people = {person.id: person.name for person in season.people}
    return tuple(
        Corrected(
            row_id=entry.row_id,
            field="" if entry.field == history.ADDED else entry.field,
            before=entry.before,
            who=people.get(entry.person_id or "", ""),
            at=entry.corrected_at,
            reason=entry.reason,
        )
        for entry in seen.corrections
    )
