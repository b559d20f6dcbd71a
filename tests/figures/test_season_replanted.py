"""A bay planted twice in a year, and what may be said of varieties: sums worked out by hand, no outside source."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import factory
from bayround.agronomy.budget import MoneyLine
from bayround.facts.season import SeasonFacts
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Pick, TreatmentBay
from bayround.figures import money, money_books, season, season_facts, season_findings
from bayround.figures.season import GroupBy

CHANGED = date(2026, 9, 25)


def facts() -> SeasonFacts:
    """One bay of 400 m²: 400 kg of a first crop, 800 kg of a second, planted on the day the first went out."""
    past = factory.past(1)
    assert past.planting is not None
    first = replace(past.planting, removed_on=CHANGED)
    second = replace(past.planting, id=factory.key(), transplanted_on=CHANGED)
    job = JobRecord(
        factory.key(), first.bay_id, JobKind.WEED, "", CHANGED, CHANGED + timedelta(days=3), "Weeds."
    )
    noon = datetime(2026, 9, 25, 12, tzinfo=UTC)
    done = JobEvent(factory.key(), job.id, JobStep.DONE, CHANGED, noon, hours=5.0)
    treated = factory.treatment(noon)
    return replace(
        factory.season(past),
        plantings=(first, second),
        picks=(
            Pick(factory.key(), first.bay_id, first.id, date(2026, 9, 20), 400.0),
            Pick(factory.key(), first.bay_id, second.id, date(2026, 11, 20), 800.0),
        ),
        jobs=(job,),
        job_events=(done,),
        treatments=(treated,),
        treatment_bays=(TreatmentBay(factory.key(), treated.id, first.bay_id),),
    )


def test_what_happened_on_the_day_of_a_change_counts_once() -> None:
    first, second = season_facts.plantings(facts(), date(2026, 12, 1))
    assert (first.jobs, first.hours, first.treatments) == (0, (), 0)
    assert (second.jobs, second.hours, second.treatments) == (1, ((CHANGED, 5.0),), 1)


def test_two_crops_of_one_bay_are_one_bay_and_say_nothing_about_how_bays_differ() -> None:
    (line,) = season.group(season_facts.plantings(facts(), date(2026, 12, 1)), GroupBy.BAY)
    kg = line.figures["season_kg_m2"]
    assert (line.bays, len(line.plantings)) == (1, 2)
    assert (kg.value, kg.n, kg.n_of, kg.low, kg.high) == (1200 / 800, 2, "plantings", None, None)
    assert ("Bays", "1") in kg.why.inputs
    assert ("Plantings", "2") in kg.why.inputs
    assert line.figures["season_first_pick_days"].low is None
    assert "planted twice counts twice" in season.AREA_BASIS


def test_a_variety_without_a_price_is_not_set_before_one_with_a_margin() -> None:
    """1.5 kg/m² and 0.40 of money per m² can't be set against each other."""
    found = season_facts.plantings(facts(), date(2026, 12, 1))
    lines = season.group(
        [
            replace(one, planting=replace(one.planting, variety=name))
            for one, name in zip(found, "XY", strict=True)
        ],
        GroupBy.VARIETY,
    )
    empty = money_books.PlantingMoney(found[0], (), (), 0.0, 0.0, Decimal(0))
    priced = replace(empty, income=(MoneyLine("first", Decimal(160)),))
    earned = [
        money.of_group("X", lines[0].crop, [priced], "EUR"),
        money.of_group("Y", lines[1].crop, [empty], "EUR"),
    ]
    told = season_findings.findings(lines, (), earned, (), {lines[0].crop: "Sweet pepper"})
    assert [line.label for line in told.replant] == ["X", "Y"]


def test_a_variety_is_tested_only_where_its_name_was_a_treatment() -> None:
    assert season_findings.names_variety("Variety P1 red", "variety p1 red")
    assert season_findings.names_variety("Variety P1 red", "P1 red")
    assert not season_findings.names_variety("Variety P1 red", "a")
    assert not season_findings.names_variety("Variety P1 reddish", "red")
