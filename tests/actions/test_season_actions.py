"""The season from a real farm file: groups, equal ages, hours that count once, shared and spread costs."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise

import pytest
from actions_farm import SmallFarm

import factory
from bayround.actions import money, season
from bayround.facts.farm import Bay, Planting
from bayround.facts.money import Cost, CostKind
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.facts.work import JobEvent, JobKind, JobRecord, JobStep, Pick, TreatmentBay
from bayround.figures import money_books, season_facts
from bayround.figures.money import MoneyLineOfGroup
from bayround.figures.season import GroupBy
from bayround.records import read_season, write_setup

TODAY = date(2026, 10, 20)


def at(day: date, hour: int = 12) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


def pick(of: Planting, day: date, kg: float, fruit: int | None = None, grade: str = "first") -> Pick:
    return Pick(factory.key(), of.bay_id, of.id, day, kg, fruit, grade)


def job(bay: Bay, raised: date, due: date) -> JobRecord:
    return JobRecord(factory.key(), bay.id, JobKind.WEED, "", raised, due, "Weeds.")


def step(of: JobRecord, what: JobStep, day: date, hours: float | None = None, hour: int = 12) -> JobEvent:
    return JobEvent(factory.key(), of.id, what, day, at(day, hour), hours=hours)


def test_bays_add_up_to_kinds_of_houses(small: SmallFarm) -> None:
    first, second = small.plantings
    write_setup.add(
        small.open.store,
        pick(first, date(2026, 9, 15), 300.0, 1500),
        pick(first, date(2026, 9, 29), 100.0, 600, "second"),
        pick(second, date(2026, 9, 22), 200.0, 1000),
    )
    book = season.read(small.open, TODAY)
    by_bay = season.lines(book, GroupBy.BAY)
    (kind,) = season.lines(book, GroupBy.HOUSE_KIND)
    assert [line.figures["season_kg_m2"].value for line in by_bay] == [1.0, 0.5]
    assert kind.label == "net house"
    shown = kind.figures
    assert (shown["season_kg"].value, shown["season_kg_m2"].value) == (600.0, 0.75)
    assert shown["season_kg_plant"].value == 600 / 4600
    assert shown["season_fruit_m2"].value == 3100 / 800
    assert shown["season_fruit_plant"].value == 3100 / 4600
    assert shown["season_first_kg_m2"].value == 500 / 800
    assert shown["season_first_grade_percent"].value == pytest.approx(500 / 600 * 100)
    assert shown["season_first_pick_days"].value == (70 + 77) / 2
    assert shown["season_half_picked_days"].value == (70 + 77) / 2
    assert ("Area", "800 m² (gross)") in shown["season_kg_m2"].why.inputs


def test_two_bays_give_the_interval_of_a_ratio(small: SmallFarm) -> None:
    """Two equal areas: the ratio's interval is the t interval of two numbers (t(0.975; 1) = 12.7062, printed tables)."""
    first, second = small.plantings
    write_setup.add(
        small.open.store, pick(first, date(2026, 9, 15), 400.0), pick(second, date(2026, 9, 15), 480.0)
    )
    (line,) = season.lines(season.read(small.open, TODAY), GroupBy.VARIETY)
    found = line.figures["season_kg_m2"]
    assert found.value == pytest.approx(1.1)
    assert found.high == pytest.approx(1.1 + 12.7062 * 0.1, abs=1e-4)
    assert found.low == 0.0  # not below


def test_uncounted_fruit_is_said_and_not_guessed(small: SmallFarm) -> None:
    (first, _second) = small.plantings
    write_setup.add(
        small.open.store, pick(first, date(2026, 9, 15), 30.0, 150), pick(first, date(2026, 9, 20), 30.0)
    )
    (line, other) = season.lines(season.read(small.open, TODAY), GroupBy.BAY)
    assert line.figures["season_fruit_m2"].value is None
    assert "not counted" in line.figures["season_fruit_m2"].missing
    assert other.figures["season_kg_m2"].missing == "No pick is written down."


def hours_of(small: SmallFarm, *steps: JobEvent) -> tuple[tuple[date, float], ...]:
    write_setup.add(small.open.store, *steps)
    return season.read(small.open, TODAY).plantings[0].hours


def test_ticking_a_job_twice_does_not_double_its_hours(small: SmallFarm) -> None:
    work = job(small.bays[0], date(2026, 9, 1), date(2026, 9, 7))
    write_setup.add(small.open.store, work)
    day = date(2026, 9, 4)
    found = hours_of(small, step(work, JobStep.DONE, day, 3.0), step(work, JobStep.DONE, day, 3.5, 13))
    assert found == ((day, 3.5),)


def test_a_job_started_again_adds_its_hours(small: SmallFarm) -> None:
    work = job(small.bays[0], date(2026, 9, 1), date(2026, 9, 7))
    write_setup.add(small.open.store, work)
    first, second = date(2026, 9, 4), date(2026, 9, 12)
    steps = (
        step(work, JobStep.DONE, first, 3.0),
        step(work, JobStep.REOPENED, date(2026, 9, 8)),
        step(work, JobStep.DONE, second, 1.0),
    )
    assert hours_of(small, *steps) == ((first, 3.0), (second, 1.0))


def test_one_need_that_two_laptops_took_up_is_one_job(small: SmallFarm) -> None:
    day = date(2026, 9, 4)
    records = [job(small.bays[0], date(2026, 9, 1), date(2026, 9, 3)) for _laptop in range(2)]
    write_setup.add(small.open.store, *records)
    found = hours_of(small, *(step(one, JobStep.DONE, day, 2.0) for one in records))
    assert found == ((day, 2.0),)
    seen = season.read(small.open, TODAY).plantings[0]
    assert (seen.jobs, seen.late) == (1, 1)


def test_curves_are_means_of_bays_by_whole_weeks_after_transplanting(small: SmallFarm) -> None:
    """Two bays of 400 m² planted on 2026-07-07: days 70 to 76 are week 10; t(0.975; 1) = 12.7062 (printed tables)."""
    first, second = small.plantings
    start = first.transplanted_on
    write_setup.add(
        small.open.store,
        pick(first, start + timedelta(days=70), 40.0),
        pick(first, start + timedelta(days=76), 40.0),
        pick(second, start + timedelta(days=73), 120.0),
        pick(second, start + timedelta(days=84), 60.0),
    )
    book = season.read(small.open, TODAY)
    (curve,) = season.curves(book, "picked", GroupBy.VARIETY)
    points = dict(curve.points)
    assert [week for week, _figure in curve.points] == [10, 11, 12, 13, 14]
    assert points[10].value == pytest.approx((80 / 400 + 120 / 400) / 2)
    assert points[10].high == pytest.approx(0.25 + 12.7062 * 0.05, abs=1e-4)
    assert points[10].low == 0.0  # not below
    assert points[11].value == 0.0
    assert points[12].value == pytest.approx((0 + 60 / 400) / 2)
    assert points[12].n == 2
    assert season.curves(book, "height_cm", GroupBy.VARIETY) == ()


def test_late_jobs(small: SmallFarm) -> None:
    bay = small.bays[0]
    due = date(2026, 9, 10)
    in_time, late, open_late, open_early, skipped = (
        job(bay, date(2026, 9, number), due) for number in range(1, 6)
    )
    open_early = job(bay, date(2026, 9, 6), TODAY)
    write_setup.add(small.open.store, in_time, late, open_late, open_early, skipped)
    write_setup.add(
        small.open.store,
        step(in_time, JobStep.DONE, due),
        step(late, JobStep.DONE, due + timedelta(days=1)),
        step(skipped, JobStep.SKIPPED, due + timedelta(days=1)),
    )
    seen = season.read(small.open, TODAY).plantings[0]
    assert (seen.jobs, seen.late) == (5, 2)


def test_years_are_compared_up_to_the_same_age_in_everything(small: SmallFarm) -> None:
    """A whole last year beside a year that still runs: what came later last year must not count."""
    bay = small.bays[0]
    last_year = factory.planting(bay, transplanted_on=date(2025, 7, 7), removed_on=date(2026, 3, 1))
    age = (TODAY - small.plantings[0].transplanted_on).days
    early, later = date(2025, 9, 15), date(2025, 7, 7) + timedelta(days=age + 5)
    due_early, done_later = job(bay, date(2025, 9, 1), date(2025, 9, 8)), job(bay, early, later)
    treated = [factory.treatment(at(day)) for day in (early, later)]
    write_setup.add(small.open.store, last_year, due_early, done_later, *treated)
    write_setup.add(
        small.open.store,
        pick(last_year, early, 100.0),
        pick(last_year, later, 900.0),
        pick(small.plantings[0], date(2026, 9, 15), 120.0),
        step(due_early, JobStep.DONE, date(2025, 9, 8), 2.0),
        step(done_later, JobStep.DONE, later, 40.0),
        *(TreatmentBay(factory.key(), one.id, bay.id) for one in treated),
    )
    lines, ages = season.year_lines(season.read(small.open, TODAY))
    assert ages == {"sweet_pepper": age}
    by_year = {line.label: line.figures for line in lines}
    assert by_year["2025"]["season_kg"].value == 100.0
    assert by_year["2025"]["season_treatments"].value == 1.0
    assert by_year["2025"]["season_hours_100_m2"].value == 2.0 / 400 * 100
    assert by_year["2025"]["season_jobs_late"].value == 0.0
    assert by_year["2026"]["season_kg"].value == 120.0
    whole = season.lines(season.read(small.open, TODAY, 2025), GroupBy.BAY)[0].figures
    assert (whole["season_kg"].value, whole["season_hours_100_m2"].value) == (1000.0, 42.0 / 400 * 100)


def test_a_cover_is_spread_over_its_life_and_the_days_a_crop_stood(small: SmallFarm) -> None:
    """1,461.00 over 4 years (1,461 days) is 1.00 a day; two equal bays bear half each; straight line, no interest."""
    money.add_cost(
        small.open,
        date(2026, 7, 1),
        CostKind.COVER,
        "Net",
        146_100,
        house_id=small.house.id,
        life_years=4.0,
    )
    days = (TODAY - small.plantings[0].transplanted_on).days
    for line in season.money_lines(season.read(small.open, TODAY), GroupBy.BAY):
        assert line.margin.variable_costs == Decimal(days) / 2


def test_over_its_whole_life_a_structure_costs_its_price_and_no_more() -> None:
    """Crops one after the other from the first to after the last day of its life: 3,600.00 in all."""
    house = factory.house()
    bay = factory.bay(house)
    bought = date(2020, 1, 1)
    days = [bought + timedelta(days=300 * number) for number in range(9)]
    crops = [factory.planting(bay, transplanted_on=day, removed_on=end) for day, end in pairwise(days)]
    facts = SeasonFacts(
        factory.season(factory.past()).farm,
        houses=(house,),
        bays=(bay,),
        plantings=tuple(crops),
        costs=(
            Cost("cost", bought, CostKind.STRUCTURE, "Posts", 360_000, house_id=house.id, life_years=5.0),
        ),
    )
    until = days[-1]
    books = money_books.books(facts, season_facts.plantings(facts, until), until)
    borne = [sum((line.amount for line in one.costs), Decimal(0)) for one in books]
    assert round(sum(borne, Decimal(0)), 12) == 3600
    assert borne[-1] == 0  # stood after the end of its life


def test_a_farm_wide_cost_is_shared_by_area_among_the_bays_of_that_year(small: SmallFarm) -> None:
    newer = factory.bay(small.house, name="Bay 3", length_m=100.0, position=3)
    write_setup.add(small.open.store, newer, factory.planting(newer, transplanted_on=date(2026, 9, 1)))
    last_year = factory.planting(small.bays[0], transplanted_on=date(2025, 7, 7), removed_on=date(2026, 3, 1))
    write_setup.add(small.open.store, last_year)
    money.add_cost(small.open, date(2025, 8, 1), CostKind.MATERIALS, "Fertiliser", 10_000)
    money.add_cost(small.open, date(2026, 8, 1), CostKind.MATERIALS, "Fertiliser", 18_000)
    last, now = season.read(small.open, TODAY, 2025), season.read(small.open, TODAY)
    assert [line.margin.variable_costs for line in season.money_lines(last, GroupBy.BAY)] == [100]
    assert [line.margin.variable_costs for line in season.money_lines(now, GroupBy.BAY)] == [40, 40, 100]


def test_the_price_of_the_day_by_grade_and_colour(small: SmallFarm) -> None:
    (planting, _other) = small.plantings
    for day, cents, grade, colour in (
        (date(2026, 7, 1), 100, "", ""),
        (date(2026, 9, 1), 130, "first", ""),
        (date(2026, 9, 1), 170, "first", "red"),
        (date(2026, 10, 1), 200, "first", "red"),
    ):
        money.add_price(small.open, day, "sweet_pepper", cents, grade, colour)
    red = [
        Pick(factory.key(), planting.bay_id, planting.id, day, 10.0, grade="first", colour="red")
        for day in (date(2026, 8, 20), date(2026, 9, 30), date(2026, 10, 1))
    ]
    write_setup.add(small.open.store, *red, pick(planting, date(2026, 10, 2), 10.0, grade="second"))
    line = season.money_lines(season.read(small.open, TODAY), GroupBy.BAY)[0]
    assert {one.name: one.amount for one in line.income} == {"first · red": 47, "second": 10}


def test_picks_and_hours_without_price_and_wage_are_said(small: SmallFarm) -> None:
    work = job(small.bays[0], date(2026, 9, 1), date(2026, 9, 7))
    write_setup.add(small.open.store, work, pick(small.plantings[0], date(2026, 9, 15), 12.5))
    write_setup.add(small.open.store, step(work, JobStep.DONE, date(2026, 9, 4), 3.0))
    line = season.money_lines(season.read(small.open, TODAY), GroupBy.BAY)[0]
    assert line.notes == ("12.5 kg have no price.", "3.0 hours have no wage.")


def test_a_price_is_corrected_with_a_reason_and_the_earlier_one_is_kept(small: SmallFarm) -> None:
    made = money.add_price(small.open, date(2026, 7, 1), "sweet_pepper", 1000)
    with pytest.raises(Refused, match="reason"):
        money.correct(small.open, money.with_amount(made, 100), small.moment, " ")
    assert money.correct(small.open, money.with_amount(made, 100), small.moment, "comma slipped") == 1
    facts = read_season.read_season(small.open.store)
    assert facts.prices[0].per_kg_hundredths == 100
    (entry,) = facts.corrections
    assert (entry.field, entry.before, entry.after, entry.reason) == (
        "per_kg_hundredths",
        "1000",
        "100",
        "comma slipped",
    )
    with pytest.raises(Refused, match="there already"):
        money.add_price(small.open, date(2026, 7, 1), "sweet_pepper", 120)


def test_the_same_wage_day_twice_is_refused_and_two_decimals_at_most(small: SmallFarm) -> None:
    money.set_wage(small.open, date(2026, 7, 1), 980)
    with pytest.raises(Refused, match="there already"):
        money.set_wage(small.open, date(2026, 7, 1), 990)
    with pytest.raises(Refused, match="two decimals"):
        money.hundredths("1.005")
    with pytest.raises(Refused, match="no amount"):
        money.amount("ten")


def test_bays_that_are_in_the_group_already_do_not_change_into_it(small: SmallFarm) -> None:
    book = season.read(small.open, TODAY)
    with pytest.raises(Refused, match="already"):
        money.change_bays(book, {small.bays[0].id}, "Variety P1", "sweet_pepper", GroupBy.VARIETY)
    with pytest.raises(Refused, match="Nothing is known"):
        money.change_bays(book, {small.bays[0].id}, "Variety P9", "sweet_pepper", GroupBy.VARIETY)


def test_an_empty_farm_and_a_year_without_crops_are_said(small: SmallFarm) -> None:
    with pytest.raises(Refused, match="Nothing was planted in 2019"):
        season.read(small.open, TODAY, 2019)
    with pytest.raises(Refused, match="Nothing is planted yet"):
        season.read(small.open, date(2020, 1, 1))


def test_the_mean_price_is_that_of_what_has_a_price(small: SmallFarm) -> None:
    """100 kg at 2.00 and 300 kg before any price: the mean price is 2.00, not 0.50; 80.00 on 400 m² need 0.1 kg/m²."""
    first = small.plantings[0]
    money.add_price(small.open, date(2026, 9, 20), first.crop, 200)
    money.add_cost(small.open, date(2026, 9, 20), CostKind.MATERIALS, "Crates", 8000, bay_id=first.bay_id)
    write_setup.add(
        small.open.store, pick(first, date(2026, 9, 15), 300.0), pick(first, date(2026, 9, 22), 100.0)
    )
    line = money_lines_of(small)
    assert (float(line.margin.income), float(line.kg_without_price)) == (200.0, 300.0)
    assert money.break_even_of(line, "EUR").yield_kg_m2.value == pytest.approx(0.1)


def money_lines_of(small: SmallFarm) -> MoneyLineOfGroup:
    return season.money_lines(season.read(small.open, TODAY), GroupBy.BAY)[0]
