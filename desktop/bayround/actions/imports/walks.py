"""Visits being filled from a file, day by day: the round of each day, the bay's past, what is there already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from bayround import words
from bayround.actions.imports.filling import Filling
from bayround.actions.imports.preview import Item, Plan, State
from bayround.crops import Crops
from bayround.facts.bay_past import BayPast, VisitRecord, gather
from bayround.facts.ids import new_id
from bayround.facts.rounds import Reading, Round, Visit, VisitState
from bayround.facts.season import SeasonFacts
from bayround.words import _


@dataclass(slots=True)
class Walks:
    """The season as it is and as the file adds to it; one `Filling` a bay and day.

    *now*: when visits that the file begins are said to have been begun.
    """

    season: SeasonFacts
    crops: Crops
    now: datetime
    found: Plan = field(default_factory=Plan)
    _rounds: dict[tuple[date, str], Round] = field(default_factory=dict)
    _new_rounds: set[str] = field(default_factory=set)
    _pasts: dict[date, dict[str, BayPast]] = field(default_factory=dict)
    _brought: list[object] = field(default_factory=list)

    def round_of(self, day: date, scout_id: str, bay_ids: Sequence[str]) -> Round:
        """Return the round of a day and scout that has most of these bays, or a new one.

        Without a scout any round of that day counts.
        """
        if (day, scout_id) in self._rounds:
            return self._rounds[day, scout_id]
        there = [one for one in self.season.rounds if one.held_on == day and scout_id in ("", one.scout_id)]
        wanted = set(bay_ids)
        visits = [one for one in self.season.visits if one.bay_id in wanted]

        def rank(one: Round) -> tuple[int, str]:
            return sum(visit.round_id == one.id for visit in visits), one.id

        chosen = max(there, key=rank, default=None)
        if chosen is None:
            chosen = Round(new_id(), day, scout_id)
            self._new_rounds.add(chosen.id)
        self._rounds[day, scout_id] = chosen
        return chosen

    def has_round(self, day: date) -> bool:
        """Tell whether some round was held on a day."""
        return any(one.held_on == day for one in self.season.rounds)

    def past(self, day: date, bay_id: str) -> BayPast | None:
        """Return a bay as it was known on a day; nothing when it was not in use."""
        if day not in self._pasts:
            self._let_in()
            self._pasts[day] = {past.bay.id: past for past in gather(self.season, day)}
        return self._pasts[day].get(bay_id)

    def begin(self, past: BayPast, walked: Round) -> Filling:
        """Return the visit of a bay in a round, to be filled: the one that is there, or a new draft."""
        assert past.planting is not None
        name = f"{past.house.name} · {past.bay.name}"
        profile = self.crops.profile(past.planting.crop)
        there = [one for one in self.season.visits if (one.round_id, one.bay_id) == (walked.id, past.bay.id)]
        if there:
            return Filling(name, past, profile, self._record(there[0]), begun=True)
        visit = Visit(
            new_id(), walked.id, past.bay.id, past.planting.id, walked.held_on, walked.scout_id,
            started_at=self.now,
        )  # fmt: skip
        filling = Filling(name, past, profile, VisitRecord(visit, {}), begun=False)
        others = [
            one
            for one in self.season.visits
            if one.bay_id == past.bay.id and one.visited_on == walked.held_on and one.round_id != walked.id
        ]
        if others:
            why = _("this bay was visited on {day} in another round too; both are kept")
            filling.items.append(Item(State.DOUBTFUL, name, "", why.format(day=words.day(walked.held_on))))
        return filling

    def _record(self, visit: Visit) -> VisitRecord:
        def own(seen: Sequence[object]) -> tuple[object, ...]:
            return tuple(one for one in seen if getattr(one, "visit_id", "") == visit.id)

        known = self.season
        readings = {one.marked_plant_id: one for one in known.readings if one.visit_id == visit.id}
        return VisitRecord(
            visit, readings, own(known.pest_checks), own(known.card_counts), own(known.weed_notes),  # type: ignore[arg-type]
            own(known.doubt_answers),  # type: ignore[arg-type]
        )  # fmt: skip

    def end(self, filling: Filling, walked: Round, *, finish: bool = False) -> None:
        """Take over what became of a visit; days after it see what it brought."""
        items, added, changes = filling.end(finish=finish)
        if not items:
            return
        self.found.take(items, added, changes)
        if not added:
            return
        if walked.id in self._new_rounds:
            self._new_rounds.discard(walked.id)
            self.found.added.insert(0, walked)
        self._brought += added
        self._pasts = {day: pasts for day, pasts in self._pasts.items() if day <= walked.held_on}

    def _let_in(self) -> None:
        """Let later days see what earlier ones of the file brought, as if it were finished."""
        visits = [replace(one, state=VisitState.DONE) for one in self._brought if isinstance(one, Visit)]
        readings = [one for one in self._brought if isinstance(one, Reading)]
        self._brought.clear()
        self.season = replace(
            self.season,
            visits=(*self.season.visits, *visits),
            readings=(*self.season.readings, *readings),
        )
