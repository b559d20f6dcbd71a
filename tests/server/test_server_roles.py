"""The server itself keeps people to their role, whatever program they use."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from uuid import uuid4

import psycopg
import pytest

import postgres
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.season import SeasonFacts
from bayround.facts.server_address import ServerAddress
from bayround.records import corrections, server_roles, write_setup, write_visit
from bayround.records.check import check
from bayround.records.read_season import read_season
from bayround.records.server import ServerStore, open_server_farm

NOW = datetime(2026, 10, 20, 14, 5, tzinfo=UTC)
As = Callable[[str], ServerAddress]


@pytest.fixture(scope="module")
def roles_farm(server_pattern: ServerAddress) -> ServerAddress:
    """A farm whose script was run (twice: that does no harm), with one login a group."""
    server = postgres.shared()
    address = server.new_database(server_pattern.database)
    for _time in range(2):
        server.ask(address.database, server_roles.script(address.database))
    for group in server_roles.GROUPS:
        server.ask(
            address.database,
            f'CREATE ROLE {group}_1 LOGIN IN ROLE "{server_roles.group_name(address.database, group)}"',
        )
    server.ask(address.database, "CREATE ROLE stranger LOGIN")
    return address


@pytest.fixture
def login(roles_farm: ServerAddress) -> As:
    return lambda group: postgres.shared().address(roles_farm.database, f"{group}_1")


def tried(address: ServerAddress, query: str) -> str:
    """Return what the server answers to plain SQL: a number of rows, or its refusal."""
    try:
        with psycopg.connect(host=address.host, dbname=address.database, user=address.user) as beside:
            return str(beside.execute(query.encode()).rowcount)
    except psycopg.errors.InsufficientPrivilege:
        return "refused"


def test_each_group_opens_the_farm_and_reads_all_of_it(login: As, server_season: SeasonFacts) -> None:
    for group in server_roles.GROUPS:
        with open_server_farm(login(group)) as farm:
            assert len(read_season(farm).readings) == len(server_season.readings)
            assert farm.read_only is (group == server_roles.READER)
            assert check(farm) == ()


def test_a_stranger_is_not_let_in(roles_farm: ServerAddress) -> None:
    with pytest.raises(FarmFileProblem):
        open_server_farm(postgres.shared().address(roles_farm.database, "stranger"))


def test_who_may_only_read_can_only_read(login: As, server_season: SeasonFacts) -> None:
    reader = login(server_roles.READER)
    with open_server_farm(reader) as farm, pytest.raises(FarmFileProblem, match="can only be read"):
        write_visit.start_round(farm, server_season.rounds[0])
    for query in ("UPDATE farm SET revision = 0", "DELETE FROM reading", "INSERT INTO cost DEFAULT VALUES"):
        assert tried(reader, query) == "refused"


def test_a_scout_keys_a_bay_in_and_finishes_it(login: As, server_season: SeasonFacts) -> None:
    with open_server_farm(login(server_roles.SCOUT)) as farm:
        visit_id = key_in(farm, server_season)
        write_visit.finish_visit(farm, visit_id, NOW)
        with pytest.raises(Refused, match="finished"):
            write_visit.save_cell(farm, visit_id, server_season.marked_plants[0].id, "height_cm", 62.0)


def key_in(farm: ServerStore, season: SeasonFacts) -> str:
    round_ = write_visit.start_round(
        farm, type(season.rounds[0])(uuid4().hex, NOW.date(), season.people[0].id)
    )
    planting = season.plantings[0]
    visit = write_visit.start_visit(
        farm,
        type(season.visits[0])(
            uuid4().hex,
            round_.id,
            planting.bay_id,
            planting.id,
            NOW.date(),
            season.people[0].id,
            started_at=NOW,
        ),
    )
    write_visit.save_cell(farm, visit.id, season.marked_plants[0].id, "height_cm", 61.0)
    return visit.id


SCOUT_CANNOT = {
    "change a finished reading": "UPDATE reading SET height_cm = 1",
    "open a finished visit again": "UPDATE visit SET state = 'draft'",
    "take a reading out": "DELETE FROM reading",
    "take a visit out": "DELETE FROM visit",
    "rewrite the history": "UPDATE correction SET reason = 'nothing'",
    "cut the history": "DELETE FROM correction",
    "change a treatment": "UPDATE treatment SET ended_at = now()",
    "change what a person is": "UPDATE person SET role = 'manager'",
    "take a PIN away": "DELETE FROM person_pin",
    "change a pick": "UPDATE pick SET kg = 0",
    "write costs": "INSERT INTO cost SELECT * FROM cost",
    "change the crop's numbers": "INSERT INTO profile_override SELECT * FROM profile_override",
    "close a week": "INSERT INTO week_close SELECT * FROM week_close",
    "rename the farm": "UPDATE farm SET name = 'mine'",
    "change the tables": "ALTER TABLE reading ADD COLUMN more text",
    "make tables": "CREATE TABLE more (id text)",
    "empty a table": "TRUNCATE reading",
    "switch the rules off": "ALTER TABLE reading DISABLE ROW LEVEL SECURITY",
}


@pytest.mark.parametrize("query", SCOUT_CANNOT.values(), ids=SCOUT_CANNOT)
def test_a_scout_cannot(login: As, query: str) -> None:
    of_finished = {"UPDATE reading SET height_cm = 1", "UPDATE visit SET state = 'draft'"}
    assert tried(login(server_roles.SCOUT), query) == ("0" if query in of_finished else "refused")


def test_a_scout_cannot_slip_a_reading_into_a_finished_visit(login: As, server_season: SeasonFacts) -> None:
    scout = login(server_roles.SCOUT)
    with open_server_farm(scout) as farm:
        key_in(farm, server_season)
    done = server_season.visits[0].id
    slip = f"UPDATE reading SET visit_id = '{done}' WHERE visit_id <> '{done}'"
    assert tried(scout, slip) == "refused"


def test_a_supervisor_corrects_and_cannot_touch_history_or_money(
    login: As, server_season: SeasonFacts
) -> None:
    supervisor = login(server_roles.SUPERVISOR)
    reading = server_season.readings[0]
    with open_server_farm(supervisor) as farm:
        made = corrections.correct(
            farm, "reading", reading.id, "height_cm", 99.0, None, NOW, "read off the wrong plant"
        )
        assert made is not None
        assert check(farm) == ()
    for query in (
        "UPDATE correction SET after = '1'",
        "DELETE FROM correction",
        "UPDATE wage_rate SET per_hour_hundredths = 1",
        "DELETE FROM reading",
        "UPDATE person SET name = 'x'",
    ):
        assert tried(supervisor, query) == "refused"


def test_a_manager_sets_up_and_cannot_touch_the_history(login: As, server_season: SeasonFacts) -> None:
    manager = login(server_roles.MANAGER)
    person = type(server_season.people[0])(uuid4().hex, "Somebody new", server_season.people[0].role)
    with open_server_farm(manager) as farm:
        write_setup.add(farm, person)
    for query in ("UPDATE correction SET after = '1'", "DELETE FROM correction", "DELETE FROM reading",
                  "UPDATE week_close SET digest = ''", "DROP TABLE reading"):  # fmt: skip
        assert tried(manager, query) == "refused"
