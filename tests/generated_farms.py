"""Farms drawn by lot from a seed: every table filled, gaps, drafts, dead plants, awkward names; valid by all rules."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from bayround.facts import farm, kept, money, rounds, trials, work
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week

NEWEST = Week(2026, 47)
AWKWARD = (
    "", "", "", "=1+1", "+2", "-3", "@home", "007", "1-2", "MAR1", "1e5", "#REF!", 'say "so"', "a, b; c",
    "Łąka Ω ½", "two\nlines", " led by a space", "_x0041_", "100 %", "TRUE", "tab\there",
)  # fmt: skip
"""Texts that spreadsheets and CSV readers like to change."""

CROPS = ("sweet_pepper", "tomato", "cucumber")
ORGANISMS = ("thrips", "whiteflies", "aphids", "spider_mite", "powdery_mildew_leveillula")
COUNTED = (
    "flowers",
    "fruit_set",
    "fruit_green",
    "fruit_turning",
    "fruit_coloured",
    "nodes",
    "trusses",
    "leaves",
)


@dataclass
class _Lot:
    chance: random.Random
    rows: dict[str, list[Any]] = field(default_factory=dict)
    used: int = 0

    def key(self) -> str:
        self.used += 1
        return f"01900000-0000-7000-8000-{self.used:012d}"

    def add(self, kind: str, fact: Any) -> Any:
        self.rows.setdefault(kind, []).append(fact)
        return fact

    def all(self, kind: str) -> list[Any]:
        return self.rows.get(kind, [])

    def often(self, share: float) -> bool:
        return self.chance.random() < share

    def word(self) -> str:
        return self.chance.choice(AWKWARD)

    def name(self, what: str, number: int) -> str:
        return f"{self.word()} {what} {number}".strip() if self.often(0.3) else f"{what} {number}"

    def number(self, low: float, high: float) -> float:
        return round(self.chance.uniform(low, high), self.chance.choice((0, 1, 2, 9)))

    def at(self, day: date) -> datetime:
        micro = self.chance.choice((0, 0, 250_000, 123_456))
        return datetime(day.year, day.month, day.day, self.chance.randrange(24), 30, 5, micro, tzinfo=UTC)


def farm_of(seed: int, weeks: int | None = None) -> SeasonFacts:
    """Return the farm of a seed: the same seed, the same farm; its newest round is in `NEWEST`."""
    lot = _Lot(random.Random(seed))
    walked = weeks or lot.chance.randint(1, 4)
    info = farm.FarmInfo(lot.key(), lot.name("Farm", seed), lot.often(0.5), "", lot.chance.randint(3, 900))
    for number in range(1, lot.chance.randint(2, 4)):
        role = farm.Role.SCOUT if number == 1 else farm.Role.SUPERVISOR
        hours = lot.number(5, 40) if lot.often(0.5) else None
        lot.add("people", farm.Person(lot.key(), lot.name("Person", number), role, hours))
    for number in range(1, lot.chance.randint(2, 4)):
        _house(lot, number)
    for back in reversed(range(walked)):
        _round(lot, NEWEST.plus(-back))
    _besides(lot)
    _money_and_trials(lot)
    _work(lot)
    _history(lot)
    return replace(SeasonFacts(info), **{kind: tuple(found) for kind, found in lot.rows.items()})


def _house(lot: _Lot, number: int) -> None:
    bays = lot.chance.randint(1, 3)
    house = farm.House(
        lot.key(), lot.name("House", number), lot.chance.choice(list(farm.HouseKind)), 40.0 * bays, 10.0,
        lot.number(2, 3.5) if lot.often(0.7) else None, position=number, note=lot.word(),
        map_east_m=50.0 * number if lot.often(0.5) else None, map_north_m=0.0 if lot.often(0.5) else None,
    )  # fmt: skip
    lot.add("houses", house)
    for place in range(1, bays + 1):
        rows = lot.chance.randint(4, 12)
        bay = lot.add("bays", farm.Bay(lot.key(), house.id, lot.name("Bay", place), rows, 40.0, 10.0, place))
        if lot.often(0.9):
            _planting(lot, bay)


def _planting(lot: _Lot, bay: farm.Bay) -> None:
    since = NEWEST.monday - timedelta(days=lot.chance.randint(20, 150))
    planting = lot.add("plantings", farm.Planting(
        lot.key(), bay.id, lot.chance.choice(CROPS), lot.name("Variety", lot.chance.randint(1, 5)), since,
        lot.chance.randint(200, 2500), lot.chance.randint(1, 3), lot.word(),
        lot.chance.choice(list(farm.ColourAim)), NEWEST.sunday if lot.often(0.1) else None, lot.word(),
    ))  # fmt: skip
    for number in range(1, lot.chance.randint(1, 7)):
        stems = lot.chance.randint(1, 3) if lot.often(0.3) else None
        lot.add("marked_plants", farm.MarkedPlant(
            lot.key(), planting.id, number, lot.chance.randint(1, bay.rows), lot.chance.randint(1, 40), stems,
            since,
        ))  # fmt: skip


def _round(lot: _Lot, week: Week) -> None:
    day = week.monday + timedelta(days=lot.chance.randint(0, 4))
    scout = lot.chance.choice(lot.all("people"))
    walked = lot.add("rounds", rounds.Round(lot.key(), day, scout.id, lot.word()))
    for planting in list(lot.all("plantings")):
        on = day + timedelta(days=lot.chance.choice((0, 0, 1)))
        if planting.transplanted_on > on or not lot.often(0.85):
            continue
        done = lot.often(0.93)
        visit = lot.add("visits", rounds.Visit(
            lot.key(), walked.id, planting.bay_id, planting.id, on, scout.id,
            rounds.VisitState.DONE if done else rounds.VisitState.DRAFT, lot.at(on),
            lot.at(on) if done else None, lot.word(),
        ))  # fmt: skip
        _seen(lot, visit, (on - planting.transplanted_on).days)


def _seen(lot: _Lot, visit: rounds.Visit, days: int) -> None:
    for plant in lot.all("marked_plants"):
        if plant.planting_id != visit.planting_id or not lot.often(0.93):
            continue
        state = lot.chance.choices(list(rounds.PlantState), (12, 1, 1))[0]
        counts: dict[str, Any] = {name: float(lot.chance.randint(0, 9)) for name in COUNTED if lot.often(0.8)}
        height = lot.number(10 + days, 20 + 1.3 * days)
        reading = rounds.Reading(
            lot.key(), visit.id, plant.id, state, height if lot.often(0.9) else None,
            round(height * 0.9, 1) if lot.often(0.8) else None, note=lot.word(), **counts,
        )  # fmt: skip
        lot.add("readings", reading)
        if lot.often(0.1):
            lot.add("doubt_answers", rounds.DoubtAnswer(
                lot.key(), visit.id, plant.id, "height_cm", height, "growth", lot.at(visit.visited_on)
            ))  # fmt: skip
    for organism in ORGANISMS:
        if lot.often(0.5):
            units = lot.chance.randint(0, 60)
            lot.add("pest_checks", rounds.PestCheck(
                lot.key(), visit.id, organism, "leaf", units, lot.chance.randint(0, units),
                lot.chance.randint(0, 90) if lot.often(0.4) else None,
                lot.number(0, 100) if lot.often(0.2) else None, lot.word(),
            ))  # fmt: skip
    if lot.often(0.5):
        lot.add("card_counts", rounds.CardCount(
            lot.key(), visit.id, lot.name("C", 1), "whiteflies", lot.chance.randint(0, 200), lot.number(1, 9),
            100.0 if lot.often(0.5) else None, "yellow",
        ))  # fmt: skip
    if lot.often(0.6):
        lot.add("weed_notes", rounds.WeedNote(
            lot.key(), visit.id, lot.number(0, 60), lot.often(0.3), lot.word(), lot.word()
        ))  # fmt: skip


def _besides(lot: _Lot) -> None:
    for planting in lot.all("plantings"):
        if lot.often(0.4):
            day = NEWEST.monday - timedelta(days=lot.chance.randint(0, 9))
            treatment = lot.add("treatments", work.Treatment(
                lot.key(), lot.at(day), lot.chance.choice(ORGANISMS), lot.name("Ingredient", 1),
                re_entry_hours=lot.number(1, 48) if lot.often(0.6) else None,
                pre_harvest_days=float(lot.chance.randint(0, 14)) if lot.often(0.6) else None,
                biological=lot.often(0.2), note=lot.word(),
            ))  # fmt: skip
            lot.add("treatment_bays", work.TreatmentBay(lot.key(), treatment.id, planting.bay_id))
        for _pick in range(lot.chance.randint(0, 3)):
            day = NEWEST.monday + timedelta(days=lot.chance.randint(-15, 5))
            lot.add("picks", work.Pick(
                lot.key(), planting.bay_id, planting.id, max(day, planting.transplanted_on), lot.number(0, 90),
                lot.chance.randint(0, 900) if lot.often(0.5) else None, lot.word(), "green", note=lot.word(),
            ))  # fmt: skip
        if lot.often(0.5):
            kg = lot.number(1, 50)
            lot.add("forecasts", kept.Forecast(
                lot.key(), planting.id, NEWEST.plus(-1).sunday, str(NEWEST), 9.0, 5.0, 14.5, kg, kg / 2, kg * 2
            ))  # fmt: skip
    for house in lot.all("houses"):
        for back in range(lot.chance.randint(0, 20)):
            low = lot.number(8, 18)
            day = NEWEST.sunday - timedelta(days=back)
            lot.add("climate_days", work.ClimateDay(
                lot.key(), house.id, day, low, low + lot.number(0, 14), 55.0, 90.0, light_mol_m2=lot.number(2, 40)
            ))  # fmt: skip
        if lot.often(0.3):
            condition = lot.chance.choice(list(kept.Condition))
            lot.add("house_checks", kept.HouseCheck(
                lot.key(), house.id, NEWEST.monday, "posts", condition, note=lot.word()
            ))  # fmt: skip


def _money_and_trials(lot: _Lot) -> None:
    house = lot.chance.choice(lot.all("houses"))
    lot.add("costs", money.Cost(
        lot.key(), NEWEST.monday, lot.chance.choice(list(money.CostKind)), lot.name("Twine", 1), -250,
        house_id=house.id if lot.often(0.5) else None, life_years=lot.number(1, 9) if lot.often(0.5) else None,
    ))  # fmt: skip
    lot.add("prices", money.Price(lot.key(), NEWEST.monday, lot.chance.choice(CROPS), 199, lot.word()))
    lot.add("wage_rates", money.WageRate(lot.key(), NEWEST.monday, 1450))
    design = lot.chance.choice(list(trials.TrialDesign))
    trial = lot.add("trials", trials.Trial(
        lot.key(), lot.name("Trial", 1), lot.word(), design, "variety", "typed", NEWEST.monday,
        measure_unit="kg", seed=lot.chance.choice((None, 0, 12345)), note=lot.word(),
    ))  # fmt: skip
    for number, bay in enumerate(lot.all("bays"), 1):
        lot.add("trial_plots", trials.TrialPlot(
            lot.key(), trial.id, f"P{number}", lot.name("V", number % 2), "", f"B{number // 2}", bay.id,
            1 if lot.often(0.5) else None, 2 if lot.often(0.5) else None, lot.number(1, 9),
        ))  # fmt: skip


def _work(lot: _Lot) -> None:
    for bay in lot.all("bays"):
        if not lot.often(0.4):
            continue
        kind = lot.chance.choice([work.JobKind.WEED, work.JobKind.TRELLIS, work.JobKind.BALANCE])
        job = lot.add("jobs", work.JobRecord(
            lot.key(), bay.id, kind, "", NEWEST.monday, NEWEST.sunday, lot.name("Reason", 1),
            lot.number(0, 9) if lot.often(0.5) else None,
        ))  # fmt: skip
        steps = [work.JobStep.RAISED, work.JobStep.ASSIGNED, work.JobStep.DONE, work.JobStep.CONFIRMED]
        for minute, step in enumerate(steps[: lot.chance.randint(1, 4)]):
            at = datetime(2026, 11, 17, 8, minute, tzinfo=UTC)
            who = lot.all("people")[0].id if step is not work.JobStep.RAISED else None
            lot.add(
                "job_events", work.JobEvent(lot.key(), job.id, step, at.date(), at, who, None, lot.word())
            )
    if lot.often(0.5):
        lot.add("week_closes", work.WeekClose(
            lot.key(), str(NEWEST.plus(-1)), lot.at(NEWEST.monday), 1, "0" * 64, None, NEWEST.plus(-1).sunday,
            "0" * 64,
        ))  # fmt: skip


def _history(lot: _Lot) -> None:
    """Correct some notes of finished visits, one after another in time, chained as the program chains them."""
    from bayround.facts import chain

    found: list[work.Correction] = []
    done = {visit.id for visit in lot.all("visits") if visit.state is rounds.VisitState.DONE}
    for reading in [one for one in lot.all("readings") if one.visit_id in done][:3]:
        at = datetime(2026, 11, 20, 9, len(found), tzinfo=UTC)
        found.append(work.Correction(
            lot.key(), "reading", reading.id, "note", "before", reading.note, lot.all("people")[0].id, at, "misread"
        ))  # fmt: skip
    lot.rows["corrections"] = [replace(one, chain=made) for one, made in zip(found, chain.heads(found))]
