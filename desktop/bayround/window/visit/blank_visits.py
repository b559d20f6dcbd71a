"""Visits whose sheet is open and that the farm file does not hold yet: the first thing kept in them begins them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bayround.actions import rounds
from bayround.actions.farm import OpenFarm
from bayround.facts.rounds import Visit


class BlankVisits:
    """Opening a bay writes nothing: a look leaves no half-begun visit behind."""

    def __init__(self, farm: OpenFarm) -> None:
        self._farm = farm
        self._visits: dict[str, Visit] = {}
        self._kept_as: dict[str, str] = {}

    def add(self, visit: Visit) -> Visit:
        """Remember a visit that was opened and not written; return the one under which it is remembered.

        What was typed when the bay was opened before may still wait for the disk: it is the same visit then.
        """
        for known in tuple(self._visits.values()):
            if replace(known, id=visit.id, started_at=visit.started_at) == visit:
                return known
        self._visits[visit.id] = visit
        return visit

    def get(self, visit_id: str) -> Visit | None:
        """Return a visit as long as the farm file does not hold it."""
        return self._visits.get(visit_id)

    def kept_as(self, visit_id: str) -> str:
        """Return under which id the farm file holds a visit: another one where it was begun there meanwhile."""
        return self._kept_as.get(visit_id, visit_id)

    def begun(self, visit_id: str, work: Callable[[str], object]) -> Callable[[], object]:
        """Return *work*, which takes the visit's id; it begins the visit first, where the farm file does not hold it yet.

        An import, a merge or somebody else may have begun the bay meanwhile: then what was typed goes there.
        """
        visit = self.get(visit_id)
        if visit is None:
            return lambda: work(self.kept_as(visit_id))

        def begin_and_work() -> object:
            kept = rounds.begin(self._farm, visit)
            if kept == visit_id:
                self._visits.pop(visit_id, None)
            self._kept_as[visit_id] = kept
            return work(kept)

        return begin_and_work
