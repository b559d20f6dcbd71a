"""Files that are refused before anything in them is unpacked or believed; what is read is bounded.

The dangers are those that the Python manual lists (zipfile: “Decompression pitfalls”; “XML Processing Modules”: “XML
vulnerabilities”) and OWASP ASVS 5.0, chapter “File Handling”.
"""

from __future__ import annotations

import io
import struct
import zipfile
from pathlib import Path

import openpyxl
import pytest

import hostile_files
from bayround.facts.problems import Problem
from bayround.paper.imports import limits, reading

SHEET = hostile_files.SHEET


@pytest.fixture(scope="module")
def good() -> bytes:
    book = openpyxl.Workbook()
    for row in (["date", "bay", "kg"], ["2026-11-20", "Bay 1", 5], [None, "Bay 2", 7]):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return hostile_files.with_shared_texts(out.getvalue())


@pytest.fixture
def why(tmp_path):
    """Read a file that is refused, and return the reason."""

    def read(raw: bytes, suffix: str = ".xlsx") -> str:
        path = tmp_path / f"file{suffix}"
        path.write_bytes(raw)
        with pytest.raises(Problem) as refused:
            reading.read(path)
        assert refused.value.kept == "Nothing was brought in."
        return refused.value.message

    return read


def changed(good: bytes, **parts: bytes | None) -> bytes:
    found = hostile_files.parts_of(good)
    for name, raw in parts.items():
        found[name] = raw if raw is not None else found[name]
    return hostile_files.packed(found)


def sheet_with(good: bytes, before: bytes, after: bytes) -> bytes:
    parts = hostile_files.parts_of(good)
    assert before in parts[SHEET]
    parts[SHEET] = parts[SHEET].replace(before, after, 1)
    return hostile_files.packed(parts)


def test_a_good_one_is_read(good, tmp_path):
    path = tmp_path / "good.xlsx"
    path.write_bytes(good)
    book = reading.read(path)
    assert book.sheets[0].rows == {
        1: {1: "date", 2: "bay", 3: "kg"}, 2: {1: "2026-11-20", 2: "Bay 1", 3: 5.0}, 3: {2: "Bay 2", 3: 7.0},
    }  # fmt: skip


def test_sizes_and_ratio_before_anything_is_unpacked(good, why, monkeypatch):
    def never(*_what: object) -> None:
        raise AssertionError("a part was opened")

    bomb = changed(good, **{"xl/media/x.xml": b"0" * 40_000_000})
    many = changed(good, **{f"x{number}.xml": b"" for number in range(limits.PARTS)})
    monkeypatch.setattr(zipfile.ZipFile, "open", never)
    assert "unpacks to 200 times its size" in why(bomb)
    assert "more than 2000 parts" in why(many)
    monkeypatch.setattr(limits, "FILE_BYTES", 1000)
    assert "too large" in why(good)
    monkeypatch.setattr(limits, "FILE_BYTES", 1 << 20)
    monkeypatch.setattr(limits, "UNPACKED_BYTES", 1000)
    assert "unpacked more than" in why(good)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("xl/vbaProject.bin", "macros"),
        ("xl/macrosheets/sheet1.xml", "macros"),
        ("xl/externalLinks/externalLink1.xml", "other files"),
        ("../up.xml", "another folder"),
        ("/root.xml", "another folder"),
        ("c:/x.xml", "another folder"),
    ],
)
def test_macros_links_and_names_that_lead_elsewhere(good, why, name, words):
    assert words in why(changed(good, **{name: b"x"}))


def test_locked_doubled_and_lying_sizes(good, why):
    place = good.index(b"PK\x01\x02")
    locked = bytearray(good)
    locked[place + 8] |= 1
    assert "locked with a password" in why(bytes(locked))
    assert "locked with a password" in why(bytes.fromhex("d0cf11e0a1b11ae1") + b"x" * 600)
    with (
        zipfile.ZipFile(twice := io.BytesIO(good), "a") as parts,
        pytest.warns(UserWarning, match="Duplicate"),
    ):
        parts.writestr("xl/workbook.xml", b"<x/>")
    assert "a part twice" in why(twice.getvalue())
    lying, end = bytearray(good), good.index(SHEET.encode(), good.index(b"PK\x01\x02"))
    struct.pack_into("<I", lying, end - 46 + 24, 20)
    assert "larger than it says" in why(bytes(lying)) or "broken" in why(bytes(lying))


@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "xl/sharedStrings.xml", "xl/styles.xml"])
def test_entities_and_document_types(good, why, part):
    kinds = (b'<!DOCTYPE x [<!ENTITY a "b">]>', b'<!DOCTYPE x SYSTEM "file:///etc/hostname">')
    for kind in kinds:
        parts = hostile_files.parts_of(good)
        raw = parts[part].partition(b"?>")
        parts[part] = kind + (raw[2] or raw[0])
        assert "DTD or entities" in why(hostile_files.packed(parts))


def test_cells_rows_and_texts_are_bounded(good, why, monkeypatch):
    assert "beyond row" in why(sheet_with(good, b'r="C3"', b'r="XFD1048576"'))
    assert "a cell stands nowhere" in why(sheet_with(good, b'r="C3"', b'r="ZZZZ1"'))
    assert "signs" in why(sheet_with(good, b"<v>7</v>", b"<v>" + b"7" * 40_000 + b"</v>"))
    monkeypatch.setattr(limits, "CELLS", 5)
    assert "more than 5 cells" in why(good)
    assert "more than 5 cells" in why(b"a,b,c\nd,e,f\n", ".csv")
    monkeypatch.setattr(limits, "ELEMENTS", 9)
    assert "more than 9 entries" in why(good)


def test_formulas_are_never_worked_out(good, tmp_path):
    path = tmp_path / "formula.xlsx"
    path.write_bytes(sheet_with(good, b"<v>7</v>", b"<f>1+1</f><v>7</v>"))
    assert reading.read(path).sheets[0].value(3, 3) == 7.0  # what a spreadsheet program left there
    path.write_bytes(sheet_with(good, b"<v>7</v>", b"<f>1+1</f>"))
    value = reading.read(path).sheets[0].value(3, 3)
    assert "formula without its result" in value.why
    path.write_bytes(sheet_with(good, b"<v>7</v>", b"<v>1e999</v>"))
    assert reading.read(path).sheets[0].value(3, 3).why == "not a number"


def test_what_is_no_workbook(why):
    assert "not a workbook" in why(b"<html>")
    assert "only .xlsx and .csv" in why(b"x", ".ods")
    assert "not a text file" in why(b"a\0b", ".csv")
    assert "columns" in why(b"," * 5000, ".csv")


def test_it_can_be_stopped(good, tmp_path, monkeypatch):
    path = tmp_path / "long.csv"
    path.write_text("a,b\n" * 5000)
    seen = []
    with pytest.raises(limits.Stopped):
        reading.read(path, lambda share: bool(seen.append(share)) or share > 0.5)
    assert 0 < seen[0] < seen[-1] < 1


def test_hostile_import_in_small():
    """The same as ``python -m tests.hostile --mutants 2000``, with few files."""
    import hostile

    tally = hostile.run(30, light=True)
    assert tally.files.total() == 30
    assert len(tally.files) > 15
    assert (tally.crashes, tally.hangs, tally.changes, tally.unsound) == ([], [], [], [])
    assert tally.refused.total() > 3
    assert tally.let_in > 1


def test_the_tally_can_see_a_crash_and_a_change(monkeypatch):
    import hostile
    from bayround.actions.imports import coming_back
    from bayround.records import write_setup

    def changes(farm, *_rest):
        import factory

        write_setup.add(farm.store, factory.person(name=factory.key()))
        raise KeyError("a fault")

    monkeypatch.setattr(coming_back, "look", changes)
    tally = hostile.run(6, light=True)
    assert len(tally.crashes) == len(tally.changes) > 1
    assert not tally.clean


def test_paths_of_files_are_only_read(tmp_path: Path, good):
    path = tmp_path / "a.xlsx"
    path.write_bytes(good)
    path.chmod(0o444)
    reading.read(path)
    assert [one.name for one in tmp_path.iterdir()] == ["a.xlsx"]
