"""The sample farm is the same on every run, every computer, from a checkout and from an installed program."""

from __future__ import annotations

import dataclasses
import hashlib
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from uuid import RFC_4122

import pytest
from sample_season import Season

from bayround import places
from bayround.actions import sample
from bayround.facts.ids import short, uuid_of
from bayround.facts.season import SeasonFacts

# When the story or the generator is changed on purpose, put the digest that the failing test prints here.
GOLDEN_DIGEST = "7d81e3eb69f0d021d5cd43c07a1a9523aec68866c8f30abc5621693e861aa023"


def digest(facts: SeasonFacts) -> str:
    """Return a digest of every value that was given; fields left at their default don't count."""
    kept = hashlib.sha256()
    for table in dataclasses.fields(facts):
        rows = getattr(facts, table.name)
        for row in rows if isinstance(rows, tuple) else (rows,):
            given = [
                (field.name, value)
                for field in dataclasses.fields(row)
                if (value := getattr(row, field.name)) != field.default
            ]
            kept.update(f"{table.name} {given}\n".encode())
    return kept.hexdigest()


@pytest.fixture
def loaded_afresh() -> Iterator[None]:
    """Forget the loaded generator for one test."""
    before = _take_out()
    yield
    _take_out()
    sys.modules.update(before)


def _take_out() -> dict[str, ModuleType]:
    names = [name for name in sys.modules if name.split(".")[0] == sample.PACKAGE]
    return {name: sys.modules.pop(name) for name in names}


def test_two_runs_give_identical_facts(season: Season) -> None:
    assert sample.season_facts() == season.facts


def test_the_facts_are_the_ones_they_were(season: Season) -> None:
    assert digest(season.facts) == GOLDEN_DIGEST


def test_another_seed_gives_another_season_of_the_same_farm(season: Season) -> None:
    generator = sys.modules[f"{sample.PACKAGE}.generator"]
    other: SeasonFacts = generator.generate(places.sample_farm_dir() / "scenario.toml", seed=7)
    assert digest(other) != digest(season.facts)
    assert [bay.name for bay in other.bays] == [bay.name for bay in season.facts.bays]
    assert not {reading.id for reading in other.readings} & {reading.id for reading in season.facts.readings}


def test_keys_are_unique_and_shaped_like_uuid_version_7(season: Season) -> None:
    """RFC 9562 (2024), section 5.7: version 7, variant 10, the first 48 bits are Unix milliseconds."""
    keys = [
        row.id
        for table in dataclasses.fields(season.facts)
        if isinstance(rows := getattr(season.facts, table.name), tuple)
        for row in rows
    ]
    assert len(keys) == len(set(keys)) > 10_000
    for key in keys:
        parsed = uuid_of(key)
        assert short(parsed) == key
        assert (parsed.version, parsed.variant) == (7, RFC_4122)
    days = {visit.id: visit.visited_on for visit in season.facts.visits}
    assert all(
        time.gmtime((uuid_of(key).int >> 80) / 1000)[:3] == day.timetuple()[:3] for key, day in days.items()
    )


def test_making_the_season_takes_less_than_two_seconds() -> None:
    begun = time.process_time()
    sample.season_facts()
    assert time.process_time() - begun < 2.0


@pytest.mark.usefixtures("loaded_afresh")
def test_loading_leaves_the_search_path_for_modules_alone() -> None:
    path, names = list(sys.path), set(sys.modules)
    sample.season_facts()
    assert sys.path == path
    assert {name.split(".")[0] for name in set(sys.modules) - names} <= {sample.PACKAGE}


@pytest.mark.usefixtures("loaded_afresh")
def test_an_installed_program_makes_the_same_season(
    season: Season, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In the wheel the folder lies inside the package: bayround/sample_farm."""
    installed = tmp_path / "bayround" / "sample_farm"
    shutil.copytree(places.sample_farm_dir(), installed, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(places, "sample_farm_dir", lambda: installed)
    facts = sample.season_facts()
    assert Path(sys.modules[f"{sample.PACKAGE}.fruit"].__file__ or "").parent == installed
    assert digest(facts) == digest(season.facts)


@pytest.mark.usefixtures("season")
def test_a_story_that_speaks_of_an_unknown_bay_is_refused(tmp_path: Path) -> None:
    told = (places.sample_farm_dir() / "scenario.toml").read_text(encoding="utf-8")
    broken = tmp_path / "scenario.toml"
    broken.write_text(told.replace('[[missed]]\nbay = "T3"', '[[missed]]\nbay = "T9"'), encoding="utf-8")
    with pytest.raises(ValueError, match="“T9”"):
        sys.modules[f"{sample.PACKAGE}.generator"].generate(broken)
