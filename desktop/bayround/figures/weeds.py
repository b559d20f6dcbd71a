"""Figures of weeds."""

from __future__ import annotations

from bayround.facts.bay_past import VisitRecord
from bayround.figures.figure import Figure, Why
from bayround.words import _


def figures(record: VisitRecord | None) -> dict[str, Figure]:
    """Return the weed cover of the ground (percent); the highest note where there are several."""
    notes = record.weeds if record else ()
    worst = max(notes, key=lambda note: note.cover_percent, default=None)
    inputs = tuple(
        (note.where or _("Bay"), f"{note.cover_percent:g} %" + (" " + _("seeding") if note.seeding else ""))
        for note in notes
    )
    return {
        "weed_cover_percent": Figure(
            "weed_cover_percent",
            _("Weed cover"),
            worst.cover_percent if worst else None,
            "%",
            0,
            Why(_("Ground covered by weeds as judged by the scout; the highest note of the bay."), inputs),
            n=len(notes) or None,
            n_of="notes",
            missing="" if worst else _("Not judged at this visit."),
        )
    }


def seeding(record: VisitRecord | None) -> bool:
    """Tell whether weeds were seen setting seed."""
    return any(note.seeding for note in record.weeds) if record else False
