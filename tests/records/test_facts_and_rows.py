"""A fact comes back from its row as it went in; what can't be right is refused by the table itself."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import UTC, date, datetime, timedelta, timezone
from enum import StrEnum
from pathlib import Path
from typing import Any, get_type_hints

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from sqlalchemy import Connection, create_engine, insert
from sqlalchemy.dialects import postgresql
from sqlalchemy.exc import IntegrityError, StatementError
from sqlalchemy.schema import CreateIndex, CreateTable
from stocking import all_of

import bayround.records
import factory
from bayround.facts.farm import House, MarkedPlant, Planting
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.rounds import CardCount, PestCheck, Reading, Visit, VisitState, WeedNote
from bayround.facts.season import SeasonFacts
from bayround.facts.trials import Trial, TrialPlot
from bayround.facts.work import ClimateDay, Correction, JobRecord, Pick, Treatment
from bayround.records import tables
from bayround.records.codec import KINDS, Kind, facts_of, kind_of, row_of, select_facts, text_of
from bayround.records.read_season import read_season
from bayround.records.store import Store
from bayround.records.write_setup import add

ZONES = [UTC, timezone(timedelta(hours=5, minutes=45)), timezone(timedelta(hours=-9, minutes=-30))]
TEXT = some.text(some.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=30)
NUMBERS = some.floats(0.001, 100, allow_subnormal=False)
BY_TYPE: dict[Any, some.SearchStrategy[Any]] = {
    str: TEXT,
    bool: some.booleans(),
    int: some.integers(1, 2**40),
    float: NUMBERS,
    date: some.dates(),
    datetime: some.datetimes(datetime(1, 1, 3), datetime(9999, 12, 29), timezones=some.sampled_from(ZONES)),
}
SPECIAL: dict[type[Any], dict[str, some.SearchStrategy[Any]]] = {
    Planting: {"transplanted_on": some.just(date(2026, 7, 7)), "removed_on": some.dates(date(2026, 7, 7))},
    MarkedPlant: {"marked_on": some.just(date(2026, 7, 7)), "ended_on": some.dates(date(2026, 7, 7))},
    Treatment: {
        "started_at": some.just(datetime(1999, 7, 7, tzinfo=UTC)),
        "ended_at": some.datetimes(datetime(2000, 1, 1), timezones=some.just(UTC)),
    },
    Trial: {"started_on": some.just(date(2026, 7, 7)), "ended_on": some.dates(date(2026, 7, 7))},
    TrialPlot: {"first_row": some.integers(1, 9), "last_row": some.integers(9, 20)},
    Visit: {"state": some.just(VisitState.DONE)},
    PestCheck: {"inspected": some.integers(50, 99), "infested": some.integers(0, 50)},
    ClimateDay: {
        "low_c": some.floats(-90, 10),
        "high_c": some.floats(10, 60),
        "humidity_low_percent": some.none() | some.floats(0, 50),
        "humidity_high_percent": some.none() | some.floats(50, 100),
    },
}


def anything_of(kind: Kind[Any]) -> some.SearchStrategy[Any]:
    """Return facts of a kind with every field free, apart from what its table forbids."""
    chosen = {}
    for name, hint in get_type_hints(kind.fact).items():
        kinds = [each for each in getattr(hint, "__args__", (hint,)) if each is not type(None)]
        found = some.sampled_from(kinds[0]) if issubclass(kinds[0], StrEnum) else BY_TYPE[kinds[0]]
        chosen[name] = some.none() | found if len(getattr(hint, "__args__", ())) > 1 else found
    return some.builds(kind.fact, **{**chosen, **SPECIAL.get(kind.fact, {})})


@pytest.fixture(scope="module")
def plain() -> Iterator[Connection]:
    """The tables in memory, references not checked."""
    engine = create_engine("sqlite://")
    tables.metadata.create_all(engine)
    with engine.connect() as connection:
        yield connection
    engine.dispose()


@pytest.mark.parametrize("kind", KINDS, ids=[kind.table.name for kind in KINDS])
def test_columns_are_the_fields(kind: Kind[Any]) -> None:
    own = {"sequence"} if kind.fact is Correction else set()  # the place in the chain is the table's business
    assert {column.name for column in kind.table.c} == {field.name for field in fields(kind.fact)} | own
    for name, hint in get_type_hints(kind.fact).items():
        assert kind.table.c[name].nullable == (type(None) in getattr(hint, "__args__", ())), name


def test_every_table_has_its_kind_and_every_season_fact_its_table() -> None:
    assert {kind.table.name for kind in KINDS} == set(tables.metadata.tables)
    order = [kind.table.name for kind in KINDS]
    for kind in KINDS:  # parents before children
        for key in kind.table.foreign_keys:
            assert order.index(key.column.table.name) <= order.index(kind.table.name)


@pytest.mark.parametrize("kind", KINDS, ids=[kind.table.name for kind in KINDS])
@given(data=some.data())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_fact_to_row_to_fact(plain: Connection, kind: Kind[Any], data: some.DataObject) -> None:
    fact = data.draw(anything_of(kind))
    row = row_of(fact) | ({"sequence": 1} if kind.fact is Correction else {})
    plain.execute(insert(kind.table).values(row))
    found = facts_of(kind, plain.execute(select_facts(kind)))
    plain.rollback()
    assert found == (fact,)
    for name, value in ((field.name, getattr(found[0], field.name)) for field in fields(fact)):
        assert type(value) is type(getattr(fact, name)), name
        if isinstance(value, datetime):
            assert value.tzinfo is UTC


def test_instants_are_kept_in_utc_and_need_a_zone(plain: Connection) -> None:
    local = datetime(2026, 11, 25, 1, 30, tzinfo=timezone(timedelta(hours=2)))
    plain.execute(insert(tables.treatment).values(row_of(factory.treatment(local))))
    kept = plain.exec_driver_sql("SELECT ended_at FROM treatment").scalar_one()
    plain.rollback()
    assert kept == "2026-11-24 23:30:00.000000"
    with pytest.raises(StatementError, match="time zone"):
        plain.execute(insert(tables.treatment).values(row_of(factory.treatment(datetime(2026, 11, 25)))))
    plain.rollback()


def test_what_no_file_can_keep_is_refused() -> None:
    for value in (math.nan, math.inf, -math.inf):
        with pytest.raises(Refused):
            row_of(factory.weed(value))
    with pytest.raises(Refused):
        row_of(factory.check("a", 2**63, 0))
    for text in ("a\0b", "a\ud800b"):
        with pytest.raises(Refused):
            row_of(factory.person(name=text))
    assert row_of(factory.person(name="Ödön 王 🌶"))["name"] == "Ödön 王 🌶"


POSTGRESQL: Any = postgresql.dialect()  # type: ignore[no-untyped-call]
VISIT, PLANT = "visit", "plant"
IMPOSSIBLE: list[Any] = [
    factory.house(length_m=0.0),
    factory.house(width_m=-1.0),
    factory.house(wire_height_m=0.0),
    factory.house(name=""),
    factory.bay(factory.house(), rows=0),
    factory.planting(factory.bay(factory.house()), plants=0),
    factory.planting(factory.bay(factory.house()), stems_per_plant=0),
    factory.planting(factory.bay(factory.house()), removed_on=date(2026, 7, 6)),
    MarkedPlant("p", "x", 0, 1, 1),
    Visit(
        "v",
        "r",
        "b",
        "p",
        date(2026, 10, 6),
        "s",
        VisitState.DRAFT,
        finished_at=datetime(2026, 10, 6, tzinfo=UTC),
    ),
    Reading("r", VISIT, PLANT, height_cm=0.0),
    Reading("r", VISIT, PLANT, stem_diameter_mm=0.0),
    *(
        replace(Reading("r", VISIT, PLANT), **{name: -1.0})  # type: ignore[arg-type]
        for name in ("last_tie_cm", "flowers", "fruit_set", "nodes")
    ),
    factory.check("aphids", 10, 11),
    factory.check("aphids", -1, -1),
    factory.check("aphids", 10, 1, counted=-1),
    factory.check("aphids", 10, 1, severity_percent=100.5),
    factory.check("", 10, 1),
    CardCount("c", VISIT, "1", "whitefly", -1, 7.0),
    CardCount("c", VISIT, "1", "whitefly", 1, 0.0),
    CardCount("c", VISIT, "1", "whitefly", 1, 7.0, area_cm2=0.0),
    factory.weed(-0.5),
    factory.weed(100.5),
    factory.treatment(re_entry_hours=-1.0),
    factory.treatment(pre_harvest_days=-1.0),
    Pick("k", "b", "p", date(2026, 10, 6), -0.1),
    Pick("k", "b", "p", date(2026, 10, 6), 1.0, fruit=-1),
    ClimateDay("c", "h", date(2026, 10, 6), 21.0, 20.9),
    ClimateDay("c", "h", date(2026, 10, 6), 12.0, 20.9, 60.0, 59.0),
    ClimateDay("c", "h", date(2026, 10, 6), 12.0, 20.9, -1.0, 59.0),
    ClimateDay("c", "h", date(2026, 10, 6), 12.0, 20.9, 10.0, 100.5),
    ClimateDay("c", "h", date(2026, 10, 6), 12.0, 20.9, vapour_pressure_deficit_kpa=-0.1),
    ClimateDay("c", "h", date(2026, 10, 6), 12.0, 20.9, light_mol_m2=-0.1),
]


@pytest.mark.parametrize(
    "fact", IMPOSSIBLE, ids=[f"{type(f).__name__}-{n}" for n, f in enumerate(IMPOSSIBLE)]
)
def test_impossible_values_are_refused_by_the_table(plain: Connection, fact: Any) -> None:
    with pytest.raises(IntegrityError, match="CHECK"):
        plain.execute(insert(kind_of(type(fact)).table).values(row_of(fact)))
    plain.rollback()


def test_words_outside_the_list_are_refused_by_the_table(plain: Connection) -> None:
    for fact, field in ((factory.house(), "kind"), (factory.person(), "role")):
        with pytest.raises(IntegrityError, match=f"{field}_known"):
            plain.execute(insert(kind_of(type(fact)).table).values(row_of(fact) | {field: "palace"}))
        plain.rollback()


def test_a_refusal_is_told_in_words_and_nothing_of_the_step_is_kept(
    stocked: Store, season: SeasonFacts
) -> None:
    visit = season.visits[0]
    good = factory.check("aphids", 10, 1, visit_id=visit.id)
    with pytest.raises(Refused, match="infested_at_most_inspected") as told:
        add(stocked, good, factory.check("thrips", 10, 11, visit_id=visit.id))
    assert told.value.kept == "Nothing was changed."
    assert read_season(stocked).pest_checks == ()
    twice = Reading("again", visit.id, season.marked_plants[0].id)
    with pytest.raises(Refused, match=r"reading\.visit_id, reading\.marked_plant_id"):
        add(stocked, twice)
    with pytest.raises(Refused, match=r"visit\.round_id, visit\.bay_id"):
        add(stocked, replace(visit, id="again"))


def test_a_reference_to_nothing_is_a_fault_of_the_program(stocked: Store) -> None:
    with pytest.raises(IntegrityError, match="FOREIGN KEY"):
        add(stocked, factory.weed(5.0))


@pytest.mark.parametrize("change", ["visited_on = 'soon'", "state = x'ff00'", "started_at = 12"])
def test_a_value_nobody_wrote_is_told_as_damage(stocked: Store, change: str) -> None:
    with stocked.writing() as connection:
        connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
        connection.exec_driver_sql(f"UPDATE visit SET {change}")
    with pytest.raises(FarmFileProblem, match="“visit”"):
        read_season(stocked)


def test_the_history_has_one_spelling_for_a_value() -> None:
    assert text_of(None) == text_of("") == ""
    assert text_of(0.1 + 0.2) == "0.30000000000000004"
    assert (text_of(True), text_of(3), text_of(VisitState.DONE)) == ("yes", "3", "done")
    assert text_of(date(2026, 11, 25)) == "2026-11-25"
    assert text_of(datetime(2026, 11, 25, 2, tzinfo=ZONES[1])) == "2026-11-24T20:15:00+00:00"


def test_the_tables_can_be_made_in_postgresql() -> None:
    for table in tables.metadata.sorted_tables:
        made = str(CreateTable(table).compile(dialect=POSTGRESQL))
        assert "DATETIME" not in made
        for index in table.indexes:
            assert index.name
            str(CreateIndex(index).compile(dialect=POSTGRESQL))
        for constraint in table.constraints:
            assert constraint.name, (table.name, constraint)


def test_sql_of_sqlite_alone_stays_where_its_files_are_handled() -> None:
    for module in Path(bayround.records.__file__).parent.rglob("*.py"):
        if module.name not in {
            "farm_file.py",
            "backup.py",
            "check.py",
            "held.py",
            "looking.py",
            "loose_rows.py",
            "reading_damage.py",
            "salvage.py",
        }:
            assert not re.search(r"PRAGMA|sqlite_schema|sqlite_master|typeof\(", module.read_text("utf-8")), (
                module
            )


def test_a_whole_season_comes_back_as_it_went_in(stocked: Store, season: SeasonFacts) -> None:
    found = read_season(stocked)
    assert found.farm.name == "Hill farm"
    assert all_of(found) == all_of(season)


def test_a_job_kind_is_kept_by_its_word(plain: Connection) -> None:
    job = JobRecord(
        "j", "b", next(iter(get_type_hints(JobRecord)["kind"])), "", date(2026, 1, 1), date(2026, 1, 2), ""
    )
    assert row_of(job)["kind"] == job.kind.value
    assert type(row_of(job)["kind"]) is str


def test_house_and_treatment_defaults_round_trip(plain: Connection) -> None:
    for fact in (factory.house(), factory.treatment()):
        kind = kind_of(type(fact))
        plain.execute(insert(kind.table).values(row_of(fact)))
        assert facts_of(kind, plain.execute(select_facts(kind))) == (fact,)
        assert isinstance(fact, House | Treatment | WeedNote)
        plain.rollback()
