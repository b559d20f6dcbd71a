"""`bayround season`: the report as workbook and pages, and nothing written over unasked."""

from __future__ import annotations

import openpyxl


def test_the_report_as_workbook_and_as_pages(run, farm_file, tmp_path):
    before = farm_file.read_bytes()
    for name, begins in (("season.xlsx", b"PK"), ("season.pdf", b"%PDF-")):
        ended = run("season", farm_file, "--to", tmp_path / name)
        assert (ended.code, ended.err) == (0, "")
        assert "season 2026" in ended.out
        assert "kg picked from" in ended.out
        assert (tmp_path / name).read_bytes().startswith(begins)
    titles = openpyxl.load_workbook(tmp_path / "season.xlsx").sheetnames
    assert titles[:2] == ["What to replant", "By variety"]
    assert farm_file.read_bytes() == before


def test_what_is_there_is_left_and_wrong_words_are_refused(run, farm_file, tmp_path):
    there = tmp_path / "season.xlsx"
    there.write_text("mine")
    ended = run("season", farm_file, "--to", there)
    assert (ended.code, there.read_text()) == (1, "mine")
    ended = run("season", farm_file, "--to", tmp_path / "a.xlsx", "--year", "2019")
    assert (ended.code, "Nothing was planted in 2019" in ended.err + ended.out) == (1, True)
    assert run("season", farm_file, "--to", tmp_path / "a.txt").code == 2
    assert list(tmp_path.glob("a.*")) == []
