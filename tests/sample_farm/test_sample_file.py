"""The sample farm as a farm file: whole, marked as invented, and never written over something else."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from sample_season import Season

from bayround.actions import farm as farm_actions
from bayround.actions import sample
from bayround.facts.problems import Problem
from bayround.records import check, read_season, write_setup


def test_the_file_holds_the_facts_and_passes_its_own_check(season: Season, tmp_path: Path) -> None:
    made = sample.write_sample(tmp_path / "sample.bayround")
    try:
        kept = read_season.read_season(made.store)
        assert check.check(made.store) == ()
    finally:
        made.close()
    for table in dataclasses.fields(season.facts):
        told, read = getattr(season.facts, table.name), getattr(kept, table.name)
        if table.name == "forecasts":
            assert not told
            assert read, "the forecasts of the past visits are kept with the file"
        elif table.name == "farm":
            assert (read.name, read.invented, read.currency) == (told.name, True, told.currency)
        else:
            assert sorted(read, key=lambda row: row.id) == sorted(told, key=lambda row: row.id), table.name


def test_the_file_opens_again_as_an_invented_farm(
    season: Season, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sample, "season_facts", lambda: season.facts)
    monkeypatch.setattr(write_setup, "add", lambda *_: None)  # the facts are looked at above
    path = tmp_path / "sample.bayround"
    sample.write_sample(path).close()
    opened = farm_actions.open_farm(path)
    assert opened.info.invented
    opened.close()


def test_an_existing_file_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "mine.bayround"
    path.write_bytes(b"something dear")
    with pytest.raises(Problem) as refused:
        sample.write_sample(path)
    assert "mine.bayround" in refused.value.message
    assert refused.value.kept
    assert refused.value.to_do
    assert path.read_bytes() == b"something dear"


def test_a_file_that_could_not_be_filled_does_not_stay_behind(
    season: Season, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_off(*_: object) -> None:
        raise Problem("The disk is full.")

    monkeypatch.setattr(sample, "season_facts", lambda: season.facts)
    monkeypatch.setattr(write_setup, "add", break_off)
    with pytest.raises(Problem, match="disk is full"):
        sample.write_sample(tmp_path / "sample.bayround")
    assert list(tmp_path.glob("*.bayround")) == []
