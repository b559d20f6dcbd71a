"""Play the invented season: the same story and seed always give the same facts."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from bayround.facts.rounds import Reading
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Pick

from . import (
    explained,
    fruit,
    growth,
    money,
    pests,
    picks,
    readings,
    scenario,
    set_up,
    trial,
    walks,
    weather,
    weeds,
    work,
)

DEFAULT_SEED = 2026


def generate(scenario_path: Path, seed: int = DEFAULT_SEED) -> SeasonFacts:
    """Return every fact of the sample farm's season.

    Raises:
        ValueError: when the story speaks of something it never introduced, or tells of an impossible date.
        TypeError: when a table of the story has an unknown or a missing entry.
    """
    story = scenario.read(scenario_path)
    planned = walks.visits(story, seed)
    farm = set_up.build(story, seed, planned)
    air = weather.of_houses(story, seed)
    read: list[Reading] = []
    picked: list[Pick] = []
    tyings: list[growth.Tying] = []
    for bay in story.bays:
        visits = [visit for visit in planned if visit.bay is bay]
        heights = growth.measure(story, seed, bay, farm.marked[bay.name], visits)
        days = frozenset(visit.day for visit in visits)
        plants = fruit.of_bay(story, seed, bay, air[bay.house], days, picks.days(story, bay))
        read += readings.of_bay(story, seed, bay, farm.marked[bay.name], visits, heights, plants)
        picked += picks.of_bay(story, seed, farm, bay, plants)
        tyings += heights.tyings
    told, told_steps = work.told_jobs(story, seed, farm, planned)
    tied, tied_steps = work.tying_jobs(story, seed, farm, tyings)
    treatments, treated = work.treatments(story, seed, farm)
    season = SeasonFacts(
        farm=farm.farm,
        people=tuple(farm.people.values()),
        houses=tuple(farm.houses.values()),
        bays=tuple(farm.bays.values()),
        plantings=tuple(farm.plantings.values()),
        marked_plants=tuple(plant for plants in farm.marked.values() for plant in plants),
        rounds=walks.rounds(story, planned, farm.person_ids),
        visits=readings.visits(story, farm, planned),
        readings=tuple(read),
        pest_checks=pests.checks(story, seed, planned, pests.outbreaks(story, planned)),
        card_counts=pests.cards(story, seed, planned),
        weed_notes=weeds.notes(story, seed, planned),
        jobs=tuple(told + tied),
        job_events=tuple(told_steps + tied_steps),
        treatments=treatments,
        treatment_bays=treated,
        picks=tuple(picked),
        climate_days=weather.facts(story, seed, air, {name: house.id for name, house in farm.houses.items()}),
    )
    return _with_trials_and_money(season, story, seed, farm)


def _with_trials_and_money(
    season: SeasonFacts, story: scenario.Scenario, seed: int, farm: set_up.SetUp
) -> SeasonFacts:
    trials, trial_plots = trial.all_trials(seed, farm)
    return replace(
        season,
        explanations=explained.of_season(season, seed),
        trials=trials,
        trial_plots=trial_plots,
        costs=money.costs(story, seed, farm),
        prices=money.prices(seed),
        wage_rates=money.wages(seed),
    )
