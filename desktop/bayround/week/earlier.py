"""Figures of a bay's earlier weeks, worked out when somebody asks for them: most weeks nobody does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.week import bay_figures

WeekFigures = tuple[Week, Mapping[str, Figure]]


def earlier_weeks(past: BayPast, crops: Crops, before: Week, weeks_back: int) -> tuple[WeekFigures, ...]:
    """Return (week, figures) of the bay's visits before *before*, oldest first, one a week."""
    last_of_week = {Week.of(record.day): place for place, record in enumerate(past.visits)}
    chosen = [week for week in sorted(last_of_week) if before.plus(-weeks_back) <= week < before]
    found = []
    for week in chosen:
        day = past.visits[last_of_week[week]].day
        figures = bay_figures.all_figures(past.up_to(day), crops, day, coming=False)
        found.append((week, figures))
    return tuple(found)


class EarlierWeeks(Mapping[str, tuple[WeekFigures, ...]]):
    """Bay id → `earlier_weeks` of the bay. The same facts always give the same; each is reckoned once."""

    def __init__(self, pasts: Sequence[BayPast], crops: Crops, before: Week, weeks_back: int) -> None:
        self._pasts = {past.bay.id: past for past in pasts}
        self._crops, self._before, self._weeks_back = crops, before, weeks_back
        self._known: dict[str, tuple[WeekFigures, ...]] = {}

    def __getitem__(self, bay_id: str) -> tuple[WeekFigures, ...]:
        """Return one bay's earlier weeks.

        Raises:
            KeyError: when there is no such bay.
        """
        if bay_id not in self._known:
            past = self._pasts[bay_id]
            self._known[bay_id] = earlier_weeks(past, self._crops, self._before, self._weeks_back)
        return self._known[bay_id]

    def __iter__(self) -> Iterator[str]:
        """Walk through the ids of the bays."""
        return iter(self._pasts)

    def __len__(self) -> int:
        """Return how many bays there are."""
        return len(self._pasts)
