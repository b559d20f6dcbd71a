"""A farm goes to a server and comes back: every value of every table is the same; lost connections lose nothing."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

import postgres
from bayround.actions import farm as farm_actions
from bayround.actions import server as server_actions
from bayround.cli import command_line
from bayround.cli.faces import Faces
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.season import SeasonFacts
from bayround.facts.server_address import ServerAddress, read_address, read_place
from bayround.records import backup, write_visit
from bayround.records.read_season import read_season
from bayround.records.server import open_server_farm


def digests(path: Path) -> dict[str, str]:
    """Return table → digest of its rows in the order of their keys, through bare sqlite3."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
        return {
            name: hashlib.sha256(
                repr(connection.execute(f'SELECT * FROM "{name}" ORDER BY 1').fetchall()).encode()
            ).hexdigest()
            for name in tables
        }


def test_file_to_server_to_file_is_the_same_table_by_table(farm_pattern: Path, tmp_path: Path) -> None:
    address, back = postgres.shared().new_database(), tmp_path / "back.bayround"
    there = server_actions.move(farm_pattern, address)
    assert server_actions.move(address, back) == there
    assert digests(back) == digests(farm_pattern)
    with pytest.raises(FarmFileProblem, match="not empty"):
        server_actions.move(farm_pattern, address)
    with pytest.raises(FarmFileProblem, match="already a file"):
        server_actions.move(address, back)
    with pytest.raises(Refused):
        server_actions.move(farm_pattern, tmp_path / "other.bayround")


def test_a_backup_of_a_farm_on_a_server_is_a_sound_farm_file(
    server_farm: ServerAddress, tmp_path: Path, farm_pattern: Path
) -> None:
    with closing(farm_actions.open_farm(server_farm)) as farm:
        made = farm_actions.back_up(farm, tmp_path)
    assert backup.is_good(made)
    assert digests(made) == digests(farm_pattern)


def test_a_step_cut_off_by_the_server_is_told_and_can_be_done_again(
    server_farm: ServerAddress, server_season: SeasonFacts
) -> None:
    round_ = server_season.rounds[0]
    with open_server_farm(server_farm) as farm:
        read_season(farm)
        postgres.shared().ask(
            "postgres",
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            f" WHERE datname = '{server_farm.database}' AND pid <> pg_backend_pid()",
        )
        new = type(round_)("a new round", round_.held_on, round_.scout_id)
        write_visit.start_round(farm, new)  # the broken connection is noticed and made anew
        assert "a new round" in {one.id for one in read_season(farm).rounds}
        with pytest.raises(FarmFileProblem, match="does not answer"), farm.writing() as connection:
            connection.exec_driver_sql("SELECT pg_terminate_backend(pg_backend_pid())")
        assert farm.info().revision == 2


def test_a_farm_that_is_not_there_and_an_address_that_is_none_are_told_in_words() -> None:
    with pytest.raises(FarmFileProblem, match="holds no farm"):
        farm_actions.open_farm(postgres.shared().new_database())
    with pytest.raises(FarmFileProblem, match="can't be opened"):
        farm_actions.open_farm(postgres.shared().address("no_such_database"))
    for text in ("postgresql://server", "postgresql://server:x/farm", "postgresql://server/farm?options=x"):
        with pytest.raises(Refused, match="can't be read"):
            read_address(text)


@pytest.mark.parametrize("text", ["postgresql://anna:secret@h/farm", "postgresql://h/farm?password=secret"])
def test_a_password_in_an_address_is_refused_and_never_repeated(text: str) -> None:
    with pytest.raises(Refused) as told:
        read_place(text)
    assert "secret" not in str(told.value)


def test_an_address_is_read_and_written_the_same() -> None:
    for text in (
        "postgresql://anna@farm.example:5433/bay?sslmode=verify-full",
        "postgresql:///bay?host=/run/postgresql",
        "postgresql://[::1]/bay",
    ):
        assert str(read_address(text)) == text


def test_the_commands_work_on_a_server_as_on_a_file(
    server_farm: ServerAddress, capsys: pytest.CaptureFixture[str]
) -> None:
    opened: list[object] = []
    faces = Faces(lambda place: opened.append(place) or 0, lambda *_given: ())
    assert command_line.run(["check", str(server_farm)], faces) == 0
    assert "sound" in capsys.readouterr().out
    assert command_line.run([str(server_farm)], faces) == 0
    assert opened == [server_farm]
    assert command_line.run(["roles", str(server_farm)], faces) == 0
    assert "GRANT" in capsys.readouterr().out


def test_a_password_in_the_environment_is_refused(
    server_farm: ServerAddress, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PGPASSWORD", "secret")
    with pytest.raises(FarmFileProblem, match="PGPASSWORD"):
        farm_actions.open_farm(server_farm)
