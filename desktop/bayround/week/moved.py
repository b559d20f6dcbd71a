"""One figure of a bay beside last week's: did it move by more than its uncertainty?"""

from __future__ import annotations

from dataclasses import dataclass

from bayround.figures.figure import Figure
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Moved:
    """Two figures of the same name. *gap*: by how much their 95 % intervals lie apart; 0 or less, they overlap."""

    before: Figure
    now: Figure
    rose: bool
    gap: float

    @property
    def is_clear(self) -> bool:
        """Whether it moved by more than its uncertainty."""
        return self.gap > 0

    @property
    def text(self) -> str:
        """Both values in a few words, ``rose 5.0 → 30.0``; ``≈`` where the difference may be chance."""
        verb = (_("rose") if self.rose else _("fell")) if self.is_clear else "≈"
        return f"{verb} {self.before.text} → {self.now.text}"


def between(before: Figure | None, now: Figure | None) -> Moved | None:
    """Return how two figures lie to each other, or nothing where one has no interval."""
    if before is None or now is None:
        return None
    if before.low is None or before.high is None or now.low is None or now.high is None:
        return None
    rose, fell = now.low - before.high, before.low - now.high
    return Moved(before, now, rose >= fell, max(rose, fell))
