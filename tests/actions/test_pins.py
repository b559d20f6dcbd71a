"""PINs say who is at the keys; wrong ones make one wait, and nobody is locked out."""

from __future__ import annotations

import shutil
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

import factory
from bayround.actions import farm as farm_actions
from bayround.actions import merge, pins
from bayround.actions.farm import OpenFarm
from bayround.facts.farm import Person
from bayround.facts.problems import Refused
from bayround.records import check, write_setup

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


@pytest.fixture
def anna() -> Person:
    return factory.person(name="Anna")


@pytest.fixture
def farm(tmp_path: Path, anna: Person):
    opened = farm_actions.create(tmp_path / "farm.bayround", "Test farm")
    write_setup.add(opened.store, anna)
    yield opened
    opened.close()


def test_a_pin_is_set_asked_for_changed_and_taken_out(farm: OpenFarm, anna: Person) -> None:
    assert pins.fits(farm, anna.id, "anything")
    pins.set_pin(farm, anna.id, "4711", "", anna.id, NOW)
    assert pins.with_pin(farm) == {anna.id}
    assert pins.fits(farm, anna.id, "4711")
    assert not pins.fits(farm, anna.id, "4712")
    with pytest.raises(Refused, match="not the PIN"):
        pins.set_pin(farm, anna.id, "0815", "4712", anna.id, NOW)
    pins.set_pin(farm, anna.id, "0815", "4711", anna.id, NOW)
    assert pins.fits(farm, anna.id, "0815")
    with pytest.raises(Refused, match="not the PIN"):
        pins.remove_pin(farm, anna.id, "4711", anna.id, NOW)
    pins.remove_pin(farm, anna.id, "0815", anna.id, NOW)
    assert pins.with_pin(farm) == frozenset()
    assert check.check(farm.store) == ()


@pytest.mark.parametrize("short", ["", "123", "12a4", "1234567890123", "１２３４"])
def test_a_pin_is_of_digits_and_not_too_short(farm: OpenFarm, anna: Person, short: str) -> None:
    with pytest.raises(Refused, match="4 to 12 digits"):
        pins.set_pin(farm, anna.id, short, "", None, NOW)


def test_the_file_holds_a_slow_salted_hash_and_never_the_pin(farm: OpenFarm, anna: Person) -> None:
    """Argon2id with 46 MiB and one pass is among OWASP's minimum settings (Password Storage Cheat Sheet)."""
    pins.set_pin(farm, anna.id, "471108", "", None, NOW)
    first = pins.pins.read_pins(farm.store)[anna.id]
    assert first.startswith("$argon2id$v=19$m=47104,t=1,p=1$")
    pins.set_pin(farm, anna.id, "471108", "471108", None, NOW)
    assert pins.pins.read_pins(farm.store)[anna.id] != first
    assert b"471108" not in farm.path.read_bytes()


def test_a_forgotten_pin_is_taken_out_and_the_history_says_so(farm: OpenFarm, anna: Person) -> None:
    pins.set_pin(farm, anna.id, "4711", "", anna.id, NOW)
    pins.remove_forgotten(farm, anna.id, None, NOW)
    assert pins.fits(farm, anna.id, "")
    with farm.store.reading() as connection:
        told = connection.exec_driver_sql("SELECT table_name, reason FROM correction").all()
    assert [tuple(row) for row in told] == [("person_pin", "forgotten: taken out without knowing it")]


def test_a_pin_taken_out_stays_out_when_laptops_merge(farm: OpenFarm, anna: Person, tmp_path: Path) -> None:
    pins.set_pin(farm, anna.id, "4711", "", None, NOW)
    other = tmp_path / "other.bayround"
    shutil.copyfile(farm.path, other)
    pins.remove_pin(farm, anna.id, "4711", None, NOW)
    assert merge.merge_into(farm, [other], NOW).conflicts == ()
    assert pins.with_pin(farm) == frozenset()


def test_wrong_ones_make_one_wait_longer_each_time_and_never_over_a_minute() -> None:
    now = 0.0
    patience = pins.Patience(lambda: now)
    waits = []
    for _try in range(12):
        waits.append(patience.was_wrong("anna"))
        assert patience.wait_s("anna") == waits[-1]
        assert patience.wait_s("ben") == 0.0
        now += waits[-1]
        assert patience.wait_s("anna") == 0.0
    assert waits == [0.0, 0.0, 2.0, 4.0, 8.0, 16.0, 32.0, 60.0, 60.0, 60.0, 60.0, 60.0]
    patience.was_right("anna")
    assert patience.was_wrong("anna") == 0.0


def test_argon2_is_imported_only_when_a_pin_is_looked_at() -> None:
    program = "import sys, bayround.actions.pins; sys.exit('argon2' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
