"""Workbooks and text tables go wrong: as bytes, inside the zip, inside the XML, and in what the cells say."""

from __future__ import annotations

import random
import re
import warnings
import zipfile
from pathlib import Path

import damage

_ODD_TEXT = (
    "", " ", "=1+1", "=HYPERLINK(\"x\")", "@SUM(A1)", "-", "1e400", "-1e400", "NaN", "inf", "1,2,3", "99999999999",
    "2026-02-30", "30.02.2026", "0", "-5", "٣", "１２", "\0", "\ufeff", "x" * 40_000, "\u202e12", "'; DROP", "\t", "1\n2",
)  # fmt: skip
_BOMB = (
    '<?xml version="1.0"?><!DOCTYPE b [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + n)} "{("&" + chr(97 + n) + ";") * 10}">' for n in range(8))
    + "]><worksheet>&i;</worksheet>"
)
_OUTSIDE = (
    '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><worksheet>&e;</worksheet>'
)


def workbook(sound: Path, mutant: Path, chance: random.Random) -> None:
    """Make a mutant of a workbook."""
    if chance.random() < 0.35:
        mutant.write_bytes(damage.damaged(sound.read_bytes(), chance))
        return
    with zipfile.ZipFile(sound) as packed:
        members = {name: packed.read(name) for name in packed.namelist()}
    for _time in range(chance.choice((1, 1, 2, 3))):
        name = chance.choice(sorted(members))
        chance.choice((_of_members, _of_xml, _of_xml, _of_cells, _of_cells, _of_cells))(members, name, chance)
        if not members:
            break
    with warnings.catch_warnings(), zipfile.ZipFile(mutant, "w", zipfile.ZIP_DEFLATED) as packed:
        warnings.simplefilter("ignore")  # a name that is there twice is meant
        for name, content in members.items():
            packed.writestr(name, content)
            if chance.random() < 0.01:
                packed.writestr(name, b"twice")


def _of_members(members: dict[str, bytes], name: str, chance: random.Random) -> None:
    """A member is missing, somebody else's, misnamed, macro-laden, far too large, or an attack on the reader."""
    what = chance.randrange(9)
    if what == 0:
        del members[name]
    elif what == 1:
        members[name] = members[chance.choice(sorted(members))]
    elif what == 2:
        members["../../" + name] = members[name]
    elif what == 3:
        members["xl/vbaProject.bin"] = chance.randbytes(100)
    elif what == 4:
        members[_a_sheet(members, chance) or name] = _BOMB.encode()
    elif what == 5:
        members[_a_sheet(members, chance) or name] = _OUTSIDE.encode()
    elif what == 6:
        members["xl/media/large.bin"] = b"\0" * 30_000_000
    elif what == 7:
        members |= {f"xl/more/{number}.xml": b"<a/>" for number in range(400)}
    else:
        members[name] = b""


def _of_xml(members: dict[str, bytes], name: str, chance: random.Random) -> None:
    """The XML of a member is damaged: bytes, tags, attributes, nesting."""
    content = members[name]
    what = chance.randrange(5)
    if what == 0:
        members[name] = damage.damaged(content, chance)
    elif what == 1:
        members[name] = re.sub(rb"<([a-z]+)", lambda found: b"<" + found[1][::-1], content, count=3)
    elif what == 2:
        members[name] = content.replace(b"<row", b"<row " + b'x="1" ' * 2000, 1)
    elif what == 3:
        members[name] = content.replace(b"<v>", b"<v>" + b"<a>" * 3000 + b"</a>" * 3000, 1)
    else:
        members[name] = re.sub(
            rb'"(\d+)"', lambda _f: f'"{chance.choice((0, -1, 99999999))}"'.encode(), content, count=2
        )


def _of_cells(members: dict[str, bytes], _name: str, chance: random.Random) -> None:
    """Cells say something else: odd values, odd types, places beyond the sheet, strings that are not there."""
    sheet = _a_sheet(members, chance)
    if not sheet:
        return
    content, what = members[sheet], chance.randrange(5)
    found = list(re.finditer(rb"<c [^>]*?(?:/>|>.*?</c>)", content, re.DOTALL))
    if not found:
        return
    cell = chance.choice(found)
    text = chance.choice(_ODD_TEXT).replace("\0", "&#0;").replace('"', "&quot;").replace("<", "&lt;")
    where = re.search(rb'r="([A-Z]+\d+)"', cell[0])
    place = where[1].decode() if where else "A1"
    new = (
        f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>',
        f'<c r="{place}"><v>{text}</v></c>',
        f'<c r="{place}" t="s"><v>99999999</v></c>',
        f'<c r="{chance.choice(("XFE1", "A99999999", "A0", "ZZZZZ9", ""))}"><v>1</v></c>',
        f'<c r="{place}" t="{chance.choice(("b", "e", "d", "str", "?"))}"><f>{text}</f><v>{text}</v></c>',
    )[what]
    members[sheet] = content[: cell.start()] + new.encode() + content[cell.end() :]


def _a_sheet(members: dict[str, bytes], chance: random.Random) -> str:
    sheets = [name for name in sorted(members) if "worksheets/sheet" in name and name.endswith(".xml")]
    return chance.choice(sheets) if sheets else ""


def text_table(sound: Path, mutant: Path, chance: random.Random) -> None:
    """Make a mutant of a table kept as text."""
    content = sound.read_bytes()
    if chance.random() < 0.4:
        content = damage.damaged(content, chance)
    lines = content.split(b"\n")
    for _time in range(chance.choice((0, 1, 2, 5))):
        place = chance.randrange(len(lines))
        mark = chance.choice((b";", b","))
        cells = lines[place].split(mark)
        cells[chance.randrange(len(cells))] = chance.choice(_ODD_TEXT).encode()
        lines[place] = mark.join(cells)
    what = chance.randrange(12)
    if what == 0:
        lines *= 200
    elif what == 1:
        lines.insert(0, b'"' + b"x" * 200_000)
    elif what == 2:
        lines = [line.replace(b";", b"\t").replace(b",", b"\t") for line in lines]
    elif what == 3:
        chance.shuffle(lines)
    elif what == 4:
        lines = [mark_of * 3000 for mark_of in (b";", b",")]
    content = b"\n".join(lines)
    encoding = chance.choice(("", "", "", "utf-16", "utf-8-sig", "latin-1"))
    if encoding:
        content = content.decode("utf-8", "replace").encode(encoding, "replace")
    mutant.write_bytes(content)
