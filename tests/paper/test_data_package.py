"""The data package: valid by frictionless (Data Package 2.0, Table Schema), faults found, and a farm made again from it.

Source of the format: Frictionless Data Package 2.0 (datapackage.org, 2024) and RFC 4180; reference: frictionless 5.
"""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import fields
from pathlib import Path

import pytest

import generated_farms
from bayround import logs, places, start, words
from bayround.actions import check, data_package
from bayround.actions import farm as farm_actions
from bayround.facts.problems import Problem
from bayround.records import whole_farm, write_setup
from bayround.records.read_season import read_season

SEEDS = (21, 22)


def stock(path: Path, seed: int) -> Path:
    """Make a farm file with everything a generated farm holds."""
    season = generated_farms.farm_of(seed, weeks=1)
    facts = [fact for part in fields(season) if part.name != "farm" for fact in getattr(season, part.name)]
    with closing(farm_actions.create(path, season.farm.name, invented=True)) as farm:
        write_setup.add(farm.store, *facts)
    return path


def pack(file: Path, target: Path) -> Path:
    with closing(farm_actions.open_farm(file, read_only=True)) as farm:
        return data_package.package(farm, target)


@pytest.fixture(scope="module")
def farm_file(tmp_path_factory) -> Path:
    return stock(tmp_path_factory.mktemp("farm") / "farm.bayround", SEEDS[0])


@pytest.fixture(scope="module")
def packed(farm_file) -> Path:
    return pack(farm_file, farm_file.with_name("farm.zip"))


def unpacked(package: Path, folder: Path) -> Path:
    with zipfile.ZipFile(package) as parts:
        parts.extractall(folder)
    return folder / "datapackage.json"


def repacked(package: Path, target: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    with zipfile.ZipFile(package) as parts:
        held = {name: parts.read(name) for name in parts.namelist()}
    change(held)
    with zipfile.ZipFile(target, "w") as parts:
        for name, data in held.items():
            parts.writestr(name, data)
    return target


@pytest.mark.parametrize("seed", SEEDS)
def test_packed_made_again_and_packed_is_the_same_bytes(seed, tmp_path):
    first = pack(stock(tmp_path / "a.bayround", seed), tmp_path / "a.zip")
    data_package.rebuild(first, tmp_path / "b.bayround")
    second = pack(tmp_path / "b.bayround", tmp_path / "b.zip")
    assert first.read_bytes() == second.read_bytes()
    with (
        closing(farm_actions.open_farm(tmp_path / "a.bayround", read_only=True)) as one,
        closing(farm_actions.open_farm(tmp_path / "b.bayround", read_only=True)) as other,
    ):
        assert check.check(other) == ()
        before, after = read_season(one.store), read_season(other.store)
        assert before.corrections
        for part in fields(before):
            assert repr(getattr(before, part.name)) == repr(getattr(after, part.name)), part.name


def test_every_table_is_in_it(packed):
    with zipfile.ZipFile(packed) as parts:
        described = json.loads(parts.read("datapackage.json"))
        names = {one["path"]: one for one in described["resources"]}
        assert {f"data/{table}.csv" for table in whole_farm.KINDS_BY_TABLE} < set(names)
        assert set(parts.namelist()) == {"datapackage.json", *names}
        assert re.fullmatch(r"[a-z0-9._-]+", described["name"])  # Data Package 2.0, "name": small letters


def test_frictionless_finds_it_valid(packed, tmp_path):
    from frictionless import validate

    report = validate(str(unpacked(packed, tmp_path)))
    assert report.flatten(["type", "note"]) == []
    assert report.valid
    assert len(report.tasks) == len(whole_farm.KINDS_BY_TABLE) + 2


def _same_key_twice(folder: Path) -> str:
    place = folder / "data" / "bay.csv"
    lines = place.read_bytes().split(b"\r\n")
    place.write_bytes(b"\r\n".join([*lines[:2], lines[1], *lines[2:]]))
    return "primary-key"


def _a_word_for_a_number(folder: Path) -> str:
    place = folder / "data" / "reading.csv"
    place.write_bytes(place.read_bytes().replace(b".0,", b".forty,", 1))
    return "type-error"


def _a_strange_reference(folder: Path) -> str:
    place = folder / "data" / "visit.csv"
    head, mark, rest = place.read_bytes().partition(b"\r\n")
    key, comma, others = rest.partition(b",")
    place.write_bytes(head + mark + key + comma + others.replace(b"-8000-", b"-8fff-", 1))
    return "foreign-key"


def test_frictionless_finds_faults_put_into_it(packed, tmp_path):
    from frictionless import validate

    descriptor = unpacked(packed, tmp_path)
    kinds = {fault(tmp_path) for fault in (_same_key_twice, _a_word_for_a_number, _a_strange_reference)}
    found = {error for (error,) in validate(str(descriptor)).flatten(["type"])}
    assert kinds < found
    assert "hash-count" in found or "byte-count" in found


def test_the_description_says_units_codes_and_the_mapping(packed):
    with zipfile.ZipFile(packed) as parts:
        described = json.loads(parts.read("datapackage.json"))
        (organisms,) = (one for one in described["resources"] if one["path"] == "lists/organisms.csv")
        rows = list(csv.DictReader(io.StringIO(parts.read(organisms["path"]).decode())))
    tables = {one["name"]: one["schema"]["fields"] for one in described["resources"]}
    units = {field["name"]: field.get("unit") for field in tables["reading"]}
    assert (units["height_cm"], units["stem_diameter_mm"], units["fruit_green"]) == ("cm", "mm", "{fruit}")
    mapped = {field["name"]: field.get("mappingToMiappe") for field in tables["trial_plot"]}
    assert mapped["id"] == "Observation unit ID"
    assert "no conformance is claimed" in described["description"]
    codes = {row["key"]: row["eppo_code"] for row in rows}
    assert codes["spider_mite"] == "TETRUR"  # Tetranychus urticae, EPPO Global Database code, from memory


def test_no_text_begins_like_a_formula(packed):
    with zipfile.ZipFile(packed) as parts:
        described = json.loads(parts.read("datapackage.json"))
        for one in described["resources"]:
            texts = {field["name"] for field in one["schema"]["fields"] if field["type"] == "string"}
            for row in csv.DictReader(io.StringIO(parts.read(one["path"]).decode(), newline="")):
                assert not [row[name] for name in texts if row[name].startswith(("=", "+", "-", "@", "\t"))]


def _cut(held):
    held["data/visit.csv"] = held["data/visit.csv"][:-40]


def _gone(held):
    del held["data/reading.csv"]


def _newer(held):
    held["datapackage.json"] = held["datapackage.json"].replace(b'"schema": 2', b'"schema": 3')


def _no_json(held):
    held["datapackage.json"] = b"{"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (_cut, "its digest differs"),
        (_gone, "is missing"),
        (_newer, "is of version 3"),
        (_no_json, "damaged or no data package"),
    ],
)
def test_a_spoilt_package_makes_no_farm(change, told, packed, tmp_path):
    spoilt = repacked(packed, tmp_path / "spoilt.zip", change)
    with pytest.raises(Problem, match=told) as raised:
        data_package.rebuild(spoilt, tmp_path / "new.bayround")
    assert raised.value.kept == "No farm was made."
    assert [path.name for path in tmp_path.iterdir()] == ["spoilt.zip"]


def test_an_altered_history_makes_no_farm(farm_file, tmp_path):
    with closing(farm_actions.open_farm(farm_file, read_only=True)) as farm:
        facts = whole_farm.read_whole(farm.store)
    facts["correction"] = facts["correction"][1:]
    with pytest.raises(Problem, match="history of corrections was altered"):
        whole_farm.make(tmp_path / "new.bayround", facts, check.of_store)
    assert list(tmp_path.iterdir()) == []


def test_the_commands(farm_file, packed, tmp_path, capsys):
    try:
        assert start.main(["package", str(farm_file), "--to", str(tmp_path / "p.zip")]) == 0
        assert (tmp_path / "p.zip").read_bytes() == packed.read_bytes()
        assert start.main(["rebuild", str(tmp_path / "p.zip"), "--to", str(tmp_path / "n.bayround")]) == 0
        assert "records" in capsys.readouterr().out
        assert start.main(["rebuild", str(tmp_path / "p.zip"), "--to", str(farm_file)]) == 1
        assert "already a file" in capsys.readouterr().err
    finally:
        places.use_data_dir(None)
        logs.stop_logging()
        words.use()
