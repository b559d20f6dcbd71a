"""What every rule is handed: one bay's past, its figures, its crop's numbers, the day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from bayround.crops import Crops
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.farm import Planting
from bayround.facts.work import JobKind
from bayround.figures.figure import Figure
from bayround.figures.labour import OwnRate
from bayround.jobs.job import Job


@dataclass(frozen=True, slots=True)
class Case:
    """One bay as the rules see it. *figures* rest on *visit*, the newest finished one."""

    past: BayPast
    planting: Planting
    visit: VisitRecord
    profile: CropProfile
    crops: Crops
    figures: Mapping[str, Figure]
    as_of: date
    own_rates: Mapping[JobKind, OwnRate] = field(default_factory=dict)
    """What the farm's finished jobs with this crop say beside the labour norms."""

    def number(self, name: str) -> float:
        """Return one number of the crop profile."""
        return self.profile.number(name).value

    def due_on(self, name: str) -> date:
        """Return the day that lies as many days after the visit as a number of the crop profile says."""
        return self.visit.day + timedelta(days=int(self.number(name)))

    def job(
        self,
        kind: JobKind,
        reason: str,
        due_on: date,
        priority: int,
        hours: Figure,
        numbers: tuple[str, ...],
        target: str = "",
        plants: tuple[str, ...] = (),
    ) -> Job:
        """Return a job of this bay; *numbers* name the figures the rule looked at."""
        return Job(
            bay_id=self.past.bay.id,
            bay_name=f"{self.past.house.name} · {self.past.bay.name}",
            kind=kind,
            target=target,
            reason=reason,
            due_on=due_on,
            priority=priority,
            hours=hours,
            numbers=tuple(self.figures[figure_id] for figure_id in numbers),
            raised_on=self.visit.day,
            plants=plants,
        )
