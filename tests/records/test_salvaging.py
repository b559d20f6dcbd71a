"""Readable records out of damaged farm files; what two farm files differ in."""

from __future__ import annotations

import random
import shutil
from collections import Counter
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from file_tricks import digest, names, overwrite, sql

from bayround.facts.problems import FarmFileProblem
from bayround.facts.season import SeasonFacts
from bayround.records import corrections
from bayround.records.backup import back_up
from bayround.records.check import check
from bayround.records.farm_file import open_farm
from bayround.records.held import difference, held
from bayround.records.pins import read_pins, write_pin
from bayround.records.read_season import read_season
from bayround.records.salvage import salvage
from bayround.records.store import Store

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
PAGE = 4096


def corrected(store: Store, reading: str, height: float) -> None:
    corrections.correct(store, "reading", reading, "height_cm", height, None, NOW, "measured again")


def test_a_sound_file_comes_out_as_it_is(stocked: Store, farm_path: Path, season: SeasonFacts) -> None:
    corrected(stocked, season.readings[0].id, 133.0)
    stocked.close()
    before = digest(farm_path)
    target = farm_path.with_name("again.bayround")
    found = salvage(farm_path, target)
    assert (found.dropped, found.incomplete, found.from_backup) == ({}, [], {})
    assert found.read["reading"] == len(season.readings)
    assert digest(farm_path) == before
    assert names(farm_path.parent) == {farm_path.name, target.name}
    changed = difference(farm_path, target)
    assert (changed.missing, changed.back, changed.other) == ({}, {}, {})
    with open_farm(target) as again:
        assert check(again) == ()
        assert again.info().name == "Hill farm"


def test_pages_that_are_gone_cost_only_what_was_on_them(
    stocked: Store, farm_path: Path, season: SeasonFacts, tmp_path: Path
) -> None:
    """Files with five pages of noise each, six at least: most readings survive, the backup brings the others."""
    kept = back_up(stocked, tmp_path / "kept", NOW)
    corrected(stocked, season.readings[0].id, 133.0)
    stocked.close()
    sound, chance = farm_path.read_bytes(), random.Random(3)
    whole = Counter[str]()
    for number in range(30):
        farm_path.write_bytes(sound)
        for _page in range(5):
            page = chance.randrange(1, len(sound) // PAGE)
            overwrite(farm_path, page * PAGE, chance.randbytes(PAGE))
        target = tmp_path / f"{number}.bayround"
        found = salvage(farm_path, target, kept)
        whole["damaged"] += bool(found.incomplete or found.dropped)
        whole["brought"] += sum(found.from_backup.values())
        with open_farm(target) as again:
            facts = read_season(again)
            assert check(again) == () or found.dropped or "correction" in found.incomplete
        assert {reading.id for reading in facts.readings} == {reading.id for reading in season.readings}
        if number >= 5 and whole["damaged"] > 1 and whole["brought"] > 5:
            break  # the noise has hit pages with readings often enough
    assert whole["damaged"] > 1
    assert whole["brought"] > 5


def test_a_first_page_that_is_gone_is_lent_by_a_backup(
    stocked: Store, farm_path: Path, season: SeasonFacts, tmp_path: Path
) -> None:
    kept = back_up(stocked, tmp_path / "kept", NOW)
    corrected(stocked, season.readings[0].id, 133.0)
    stocked.close()
    overwrite(farm_path, 0, bytes(PAGE))
    with pytest.raises(FarmFileProblem, match="Nothing in"):
        salvage(farm_path, tmp_path / "without.bayround")
    found = salvage(farm_path, tmp_path / "with.bayround", kept)
    assert found.read["reading"] == len(season.readings)
    with open_farm(tmp_path / "with.bayround") as again:
        heights = {reading.id: reading.height_cm for reading in read_season(again).readings}
    assert heights[season.readings[0].id] == 133.0  # what the backup did not know
    assert names(tmp_path) == {"with.bayround", "kept", farm_path.parent.name}


def test_a_record_whose_record_is_lost_is_not_kept(
    stocked: Store, farm_path: Path, season: SeasonFacts
) -> None:
    stocked.close()
    sql(farm_path, "PRAGMA foreign_keys = OFF", f"DELETE FROM visit WHERE id = '{season.visits[0].id}'")
    found = salvage(farm_path, farm_path.with_name("again.bayround"))
    lost = [reading for reading in season.readings if reading.visit_id == season.visits[0].id]
    assert found.dropped["reading"] == len(lost)
    with open_farm(farm_path.with_name("again.bayround")) as again:
        assert check(again) == ()


def test_a_file_of_an_earlier_version_is_salvaged_too(tmp_path: Path) -> None:
    old = Path(__file__).parents[1] / "old_files" / "version_1.bayround"
    found = salvage(old, tmp_path / "again.bayround")
    assert (found.dropped, found.incomplete) == ({}, [])
    assert held(tmp_path / "again.bayround").records == held(old).records


def test_the_bays_of_an_earlier_version_s_treatments_are_kept(tmp_path: Path) -> None:
    """Version 1 did not say whether a bay was taken out of a treatment; who must keep out of it hangs on the row."""
    old = tmp_path / "old.bayround"
    shutil.copyfile(Path(__file__).parents[1] / "old_files" / "version_1.bayround", old)
    treatment, covered = (f"00000000-0000-7000-8000-00000000000{n}" for n in (1, 2))
    sql(
        old,
        f"INSERT INTO treatment VALUES ('{treatment}', '2026-01-06 08:00:00.000000', 'whitefly', '', '', '', '',"
        " 12.0, 3.0, NULL, 0, '')",
        f"INSERT INTO treatment_bay SELECT '{covered}', '{treatment}', id FROM bay",
    )
    found = salvage(old, tmp_path / "again.bayround")
    assert (found.dropped, found.read["treatment_bay"]) == ({}, 1)
    with open_farm(tmp_path / "again.bayround") as again:
        (bay,) = read_season(again).treatment_bays
        assert (bay.id, bay.treatment_id, bay.taken_out) == (covered, treatment, False)


def test_what_was_taken_out_since_does_not_come_back_from_the_backup(
    stocked: Store, farm_path: Path, season: SeasonFacts, tmp_path: Path
) -> None:
    person = season.people[0].id
    write_pin(stocked, person, "an old hash", None, NOW)
    kept = back_up(stocked, tmp_path / "kept", NOW)
    write_pin(stocked, person, "", None, NOW)
    stocked.close()
    found = salvage(farm_path, tmp_path / "again.bayround", kept)
    assert found.from_backup == {}
    with open_farm(tmp_path / "again.bayround") as again:
        assert read_pins(again) == {}
        assert check(again) == ()


@pytest.mark.parametrize("taken", ["target", "source"])
def test_nothing_is_overwritten(farm_path: Path, tmp_path: Path, taken: str) -> None:
    target = tmp_path / "target.bayround"
    if taken == "target":
        farm_path.write_bytes(b"x" * 5000)
        target.write_text("something dear")
    with pytest.raises(FarmFileProblem, match="already a file" if taken == "target" else "no file"):
        salvage(farm_path, target)
    assert names(tmp_path) == {farm_path.parent.name, *(["target.bayround"] if taken == "target" else [])}


def test_what_two_files_differ_in(stocked: Store, season: SeasonFacts, tmp_path: Path) -> None:
    kept = back_up(stocked, tmp_path / "kept", NOW)
    corrected(stocked, season.readings[0].id, 133.0)
    path = stocked.path
    assert held(kept).records == {"bay": 1, "visit": 2, "reading": 20, "correction": 0}
    assert held(path).last_round == max(walk.held_on for walk in season.rounds)
    assert isinstance(held(path).last_round, date)
    changed = difference(path, kept)
    assert (changed.missing, changed.back, changed.other) == ({"correction": 1}, {}, {"reading": 1})
    changed = difference(kept, path)
    assert (changed.missing, changed.back, changed.other) == ({}, {"correction": 1}, {"reading": 1})
