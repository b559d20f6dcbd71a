"""All the facts a week is built from: one frozen value, read in one transaction."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bayround.facts.farm import Bay, FarmInfo, House, MarkedPlant, Person, PlantChoice, Planting
from bayround.facts.kept import Forecast, HouseCheck, MergedHistory, StandCount
from bayround.facts.money import Cost, Price, WageRate
from bayround.facts.rounds import CardCount, DoubtAnswer, PestCheck, Reading, Round, Visit, WeedNote
from bayround.facts.trials import Trial, TrialPlot
from bayround.facts.work import (
    ClimateDay,
    Correction,
    Explanation,
    JobEvent,
    JobRecord,
    Pick,
    ProfileOverride,
    Treatment,
    TreatmentBay,
    WeekClose,
)


@dataclass(frozen=True, slots=True)
class SeasonFacts:
    """Everything known of a farm (or of the part that was asked for), in no particular order."""

    farm: FarmInfo
    people: tuple[Person, ...] = ()
    houses: tuple[House, ...] = ()
    bays: tuple[Bay, ...] = ()
    plantings: tuple[Planting, ...] = ()
    marked_plants: tuple[MarkedPlant, ...] = ()
    plant_choices: tuple[PlantChoice, ...] = ()
    rounds: tuple[Round, ...] = ()
    visits: tuple[Visit, ...] = ()
    readings: tuple[Reading, ...] = ()
    pest_checks: tuple[PestCheck, ...] = ()
    card_counts: tuple[CardCount, ...] = ()
    weed_notes: tuple[WeedNote, ...] = ()
    doubt_answers: tuple[DoubtAnswer, ...] = ()
    jobs: tuple[JobRecord, ...] = ()
    job_events: tuple[JobEvent, ...] = ()
    treatments: tuple[Treatment, ...] = ()
    treatment_bays: tuple[TreatmentBay, ...] = ()
    picks: tuple[Pick, ...] = ()
    explanations: tuple[Explanation, ...] = ()
    climate_days: tuple[ClimateDay, ...] = ()
    corrections: tuple[Correction, ...] = ()
    profile_overrides: tuple[ProfileOverride, ...] = ()
    week_closes: tuple[WeekClose, ...] = ()
    forecasts: tuple[Forecast, ...] = ()
    house_checks: tuple[HouseCheck, ...] = ()
    stand_counts: tuple[StandCount, ...] = ()
    trials: tuple[Trial, ...] = ()
    trial_plots: tuple[TrialPlot, ...] = ()
    costs: tuple[Cost, ...] = ()
    prices: tuple[Price, ...] = ()
    wage_rates: tuple[WageRate, ...] = ()
    merged_histories: tuple[MergedHistory, ...] = ()

    @property
    def covered(self) -> tuple[TreatmentBay, ...]:
        """The bays that treatments covered, without those that were taken out again."""
        return tuple(link for link in self.treatment_bays if not link.taken_out)


def walk_order(houses: Iterable[House], bays: Iterable[Bay]) -> list[Bay]:
    """Return the bays as the scout walks them: by house, then by bay, names deciding ties."""
    house_order = {house.id: (house.position, house.name, house.id) for house in houses}
    return sorted(bays, key=lambda bay: (house_order[bay.house_id], bay.position, bay.name, bay.id))
