"""`bayround sheets`: pages with embedded fonts, a workbook to fill in, and nothing written over unasked."""

from __future__ import annotations

import re


def test_walk_sheets_job_sheets_and_the_workbook(run, farm_file, tmp_path):
    before = farm_file.read_bytes()
    for name, more in (("walk.pdf", ()), ("jobs.pdf", ("--jobs", "--paper", "letter"))):
        ended = run("sheets", farm_file, "--to", tmp_path / name, *more)
        assert (ended.code, ended.err) == (0, "")
        made = (tmp_path / name).read_bytes()
        assert made.startswith(b"%PDF-")
        assert b"/FontFile2" in made
        width, height = (
            float(side) for side in re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)", made).groups()
        )
        assert (round(width), round(height)) == ((612, 792) if more else (595, 842))
        assert int(re.search(r"Wrote (\d+) page", ended.out)[1]) == len(re.findall(rb"/Type /Page\b", made))
    ended = run("sheets", farm_file, "--to", tmp_path / "walk.xlsx")
    assert (ended.code, ended.out.startswith("Wrote 18 bays")) == (0, True)
    assert farm_file.read_bytes() == before


def test_what_is_there_is_left_and_wrong_words_are_refused(run, farm_file, tmp_path):
    there = tmp_path / "walk.pdf"
    there.write_text("mine")
    ended = run("sheets", farm_file, "--to", there)
    assert (ended.code, there.read_text()) == (1, "mine")
    assert run("sheets", farm_file, "--to", tmp_path / "a.pdf", "--week", "2020-W01").code == 1
    assert run("sheets", farm_file, "--to", tmp_path / "a.txt").code == 2
    assert run("sheets", farm_file, "--to", tmp_path / "a.xlsx", "--jobs").code == 2
    assert sorted(path.name for path in tmp_path.glob("a.*")) == []


def test_job_sheets_of_one_person(run, farm_file, tmp_path):
    wrong = run("sheets", farm_file, "--to", tmp_path / "jobs.pdf", "--jobs", "--for", "Nobody Here")
    assert (wrong.code, "has no job to be handed out" in wrong.err) == (1, True)
    assert run("sheets", farm_file, "--to", tmp_path / "walk.pdf", "--for", "Alder").code == 2
