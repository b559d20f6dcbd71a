"""Files that mean harm or are broken, made from good ones with a fixed seed: for `python -m tests.hostile`."""

from __future__ import annotations

import io
import random
import re
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass

Parts = dict[str, bytes]
Change = Callable[[Parts, random.Random], None]
SHEET = "xl/worksheets/sheet1.xml"


@dataclass(frozen=True)
class Mutant:
    """One file: how it was made, its suffix, its bytes."""

    way: str
    suffix: str
    raw: bytes


def parts_of(raw: bytes) -> Parts:
    """Return the parts of a workbook."""
    with zipfile.ZipFile(io.BytesIO(raw)) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


def packed(parts: Parts, level: int = 6) -> bytes:
    """Return a workbook of these parts."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=level) as made:
        for name, raw in parts.items():
            made.writestr(name, raw)
    return out.getvalue()


def with_shared_texts(raw: bytes) -> bytes:
    """Return a workbook whose texts stand in a part of their own, as office programs write them."""
    parts, texts = parts_of(raw), []

    def shared(found: re.Match[bytes]) -> bytes:
        texts.append(found[2])
        return b'<c r="' + found[1] + b'" t="s"><v>' + str(len(texts) - 1).encode() + b"</v></c>"

    inline = rb'<c r="([A-Z]+[0-9]+)"[^>]*t="inlineStr"[^>]*><is><t[^>]*>([^<]*)</t></is></c>'
    for name in [name for name in parts if name.startswith("xl/worksheets/sheet")]:
        parts[name] = re.sub(inline, shared, parts[name])
    space = b"http://schemas.openxmlformats.org"
    items = b"".join(b"<si><t>" + text + b"</t></si>" for text in texts)
    parts["xl/sharedStrings.xml"] = (
        b'<?xml version="1.0"?><sst xmlns="' + space + b'/spreadsheetml/2006/main">' + items + b"</sst>"
    )
    rels = "xl/_rels/workbook.xml.rels"
    link = (
        b'<Relationship Id="rIdTexts" Target="sharedStrings.xml" Type="'
        + space
        + b'/officeDocument/2006/relationships/sharedStrings"/>'
    )
    parts[rels] = parts[rels].replace(b"</Relationships>", link + b"</Relationships>")
    return packed(parts)


def _any(parts: Parts, draw: random.Random) -> str:
    return draw.choice(sorted(name for name in parts if name.endswith((".xml", ".rels"))))


def _replace(parts: Parts, draw: random.Random, pattern: bytes, by: bytes) -> None:
    """Replace one place that fits a pattern, in some sheet."""
    name = draw.choice(sorted(name for name in parts if name.startswith("xl/worksheets/sheet")) or [SHEET])
    found = list(re.finditer(pattern, parts.get(name, b"")))
    if found:
        chosen = draw.choice(found)
        parts[name] = parts[name][: chosen.start()] + by + parts[name][chosen.end() :]


def _flip(parts: Parts, draw: random.Random) -> None:
    name = _any(parts, draw)
    raw = bytearray(parts[name])
    for _again in range(draw.randint(1, 8)):
        raw[draw.randrange(len(raw))] = draw.randrange(256)
    parts[name] = bytes(raw)


def _cut_part(parts: Parts, draw: random.Random) -> None:
    name = _any(parts, draw)
    parts[name] = parts[name][: draw.randrange(len(parts[name]))]


def _drop(parts: Parts, draw: random.Random) -> None:
    del parts[draw.choice(sorted(parts))]


def _swap(parts: Parts, draw: random.Random) -> None:
    one, other = draw.sample(sorted(parts), 2)
    parts[one], parts[other] = parts[other], parts[one]


def _entity(parts: Parts, draw: random.Random) -> None:
    kinds = (
        b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
        b'<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;">]>',
        b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>',
        b'<!DOCTYPE x SYSTEM "http://example.org/x.dtd">',
    )
    name = _any(parts, draw)
    head, close, rest = parts[name].partition(b"?>")
    parts[name] = head + close + draw.choice(kinds) + rest if close else draw.choice(kinds) + head


def _number(parts: Parts, draw: random.Random) -> None:
    values = (
        b"1e999",
        b"-1e999",
        b"NaN",
        b"abc",
        b"",
        b"9" * 4000,
        b"0x10",
        b"1e-400",
        b"2958466",
        b"-1",
        b"60",
        b"1_000",
    )
    _replace(parts, draw, rb"<v>[^<]*</v>", b"<v>" + draw.choice(values) + b"</v>")


def _place(parts: Parts, draw: random.Random) -> None:
    values = (
        b"XFD1048576",
        b"ZZZ9999999",
        b"A0",
        b"A-1",
        b"",
        b"1A",
        b"AAAA1",
        b"A99999999999",
        b"a1",
        "Ä1".encode(),
    )
    _replace(parts, draw, rb'r="[A-Z]+[0-9]+"', b'r="' + draw.choice(values) + b'"')


def _row(parts: Parts, draw: random.Random) -> None:
    values = (b"0", b"-5", b"1048576", b"99999999999", b"x", b"", "①".encode())
    _replace(parts, draw, rb'<row r="[0-9]+"', b'<row r="' + draw.choice(values) + b'"')


def _shared(parts: Parts, draw: random.Random) -> None:
    values = (b"999999", b"-1", b"1e3", b"9" * 30, b"x")
    _replace(parts, draw, rb't="s"><v>[0-9]+</v>', b't="s"><v>' + draw.choice(values) + b"</v>")


def _kind(parts: Parts, draw: random.Random) -> None:
    values = (b"b", b"e", b"d", b"str", b"inlineStr", b"n", b"zzz", b"s")
    _replace(parts, draw, rb't="(?:s|n|str|inlineStr)"', b't="' + draw.choice(values) + b'"')


def _style(parts: Parts, draw: random.Random) -> None:
    _replace(parts, draw, rb' s="[0-9]+"', b' s="' + draw.choice((b"999999", b"-1", b"x", b"9" * 40)) + b'"')


def _formula(parts: Parts, draw: random.Random) -> None:
    formulas = (b"1+1", b"HYPERLINK(&quot;http://example.org&quot;,&quot;x&quot;)", b"cmd|' /C calc'!A0")
    value = draw.choice((b"", b"<v>7</v>", b"<v>#REF!</v>"))
    _replace(parts, draw, rb"<v>[^<]*</v>", b"<f>" + draw.choice(formulas) + b"</f>" + value)


def _merges(parts: Parts, draw: random.Random) -> None:
    refs = ("A1:XFD1048576", "A1:A100000", "B2", ":", "A1:A0", "ZZZZ1:A2", "A1:C60")
    many = "".join(f'<mergeCell ref="{draw.choice(refs)}"/>' for _n in range(draw.choice((1, 3, 2000))))
    _replace(parts, draw, rb"</sheetData>", b"</sheetData><mergeCells>" + many.encode() + b"</mergeCells>")


def _many_cells(parts: Parts, draw: random.Random) -> None:
    cells = b"<c/>" * draw.choice((1_000, 400_000)) + b'<c t="str"><v>x</v></c>' * draw.choice((0, 2_000))
    _replace(parts, draw, rb"<sheetData>", b'<sheetData><row r="1">' + cells + b"</row>")


def _long_text(parts: Parts, draw: random.Random) -> None:
    signs = draw.choice((32_768, 3_000_000))
    _replace(parts, draw, rb"<v>[^<]*</v>", b"<v>" + b"A" * signs + b"</v>")


def _long_tag(parts: Parts, draw: random.Random) -> None:
    _replace(
        parts, draw, rb"<sheetData>", b'<sheetData x="' + b"y" * draw.choice((70_000, 2_000_000)) + b'">'
    )


def _deep(parts: Parts, draw: random.Random) -> None:
    depth = draw.choice((500, 100_000))
    _replace(parts, draw, rb"<sheetData>", b"<sheetData>" + b"<q>" * depth + b"</q>" * depth)


def _target(parts: Parts, draw: random.Random) -> None:
    name = "xl/_rels/workbook.xml.rels"
    targets = (
        b"../../../etc/passwd",
        b"worksheets/sheet1.xml",
        b"",
        b"http://example.org/x.xml",
        b"/xl/workbook.xml",
    )
    parts[name] = re.sub(
        rb'Target="[^"]*"', lambda _m: b'Target="' + draw.choice(targets) + b'"', parts.get(name, b"")
    )


def _utf16(parts: Parts, draw: random.Random) -> None:
    name = _any(parts, draw)
    text = parts[name].decode("utf-8", "replace").replace("UTF-8", "UTF-16").replace("utf-8", "UTF-16")
    parts[name] = text.encode("utf-16")


def _encoding(parts: Parts, draw: random.Random) -> None:
    name = _any(parts, draw)
    said = draw.choice((b"rot13", b"utf-7", b"zzz", b"ebcdic-cp-us", b"unicode_escape"))
    parts[name] = b'<?xml version="1.0" encoding="' + said + b'"?>' + parts[name].partition(b"?>")[2]


def _macro(parts: Parts, draw: random.Random) -> None:
    names = (
        "xl/vbaProject.bin",
        "xl/macrosheets/sheet1.xml",
        "xl/externalLinks/externalLink1.xml",
        "../x.xml",
        "/x",
        "c:/x",
    )
    parts[draw.choice(names)] = b"x"


def _many_parts(parts: Parts, draw: random.Random) -> None:
    parts.update({f"xl/x{number}.xml": b"<a/>" for number in range(draw.choice((100, 3_000)))})


def _swelling(parts: Parts, draw: random.Random) -> None:
    name = draw.choice((SHEET, "xl/sharedStrings.xml", "docProps/app.xml"))
    parts[name] = parts.get(name, b"<a/>") + b" " * draw.choice((2_000_000, 120_000_000))


CHANGES: dict[str, Change] = {
    "bytes changed": _flip, "part cut": _cut_part, "part missing": _drop, "parts swapped": _swap, "entities": _entity,
    "odd number": _number, "odd cell place": _place, "odd row": _row, "odd shared text": _shared, "odd cell kind": _kind,
    "odd style": _style, "formula": _formula, "merged cells": _merges, "very many cells": _many_cells,
    "very long text": _long_text, "very long tag": _long_tag, "very deep": _deep, "odd target": _target,
    "UTF-16": _utf16, "odd encoding": _encoding, "macro or odd name": _macro, "very many parts": _many_parts,
}  # fmt: skip
RARE: dict[str, Change] = {"swells when unpacked": _swelling}


def _of_zip(raw: bytes, draw: random.Random) -> Mutant:
    """Break the wrapping itself: cut, bytes changed, sizes that lie, locked, doubled."""
    way = draw.choice(("cut", "bytes changed", "size that lies", "locked", "not a zip", "twice"))
    broken = bytearray(raw)
    if way == "cut":
        broken = broken[: draw.randrange(len(broken))]
    elif way == "not a zip":
        broken = bytearray(
            draw.choice((b"", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"x" * 512, b"PK\x05\x06", b"<html>"))
        )
    elif way == "twice":
        broken = broken + broken
    else:
        places = [found.start() for found in re.finditer(rb"PK\x01\x02", raw)]
        place = draw.choice(places)
        if way == "size that lies":
            broken[place + 24 : place + 28] = draw.choice((0, 10, 0xFFFFFFFF, 200_000_000)).to_bytes(
                4, "little"
            )
        elif way == "locked":
            broken[place + 8] |= 1
        else:
            for _again in range(draw.randint(1, 20)):
                broken[draw.randrange(len(broken))] = draw.randrange(256)
    return Mutant(f"zip: {way}", ".xlsx", bytes(broken))


def _put_in(text: bytearray, draw: random.Random, signs: tuple[bytes, ...]) -> bytearray:
    for _again in range(draw.randint(1, 40)):
        at = draw.randrange(len(text))
        text[at:at] = draw.choice(signs)
    return text


def _text_changed(text: bytearray, draw: random.Random, _light: bool) -> bytearray:
    for _again in range(draw.randint(1, 30)):
        text[draw.randrange(len(text))] = draw.randrange(256)
    return text


def _odd_cells(text: bytearray, draw: random.Random, _light: bool) -> bytearray:
    odd = (
        b"1e999", b"NaN", b"=1+1", b"-999999999999999999999", b"31.02.2026", b"2026-99-99", b"99:99",
        "١٢٣".encode(), b"\xff\xfe",
    )  # fmt: skip
    chosen = re.sub(
        rb"(?<=[;,\t])[^;,\t\n]+", lambda m: draw.choice((m[0], m[0], draw.choice(odd))), bytes(text)
    )
    return bytearray(chosen)


def _other_encoding(text: bytearray, draw: random.Random, _light: bool) -> bytearray:
    said = draw.choice(("utf-16", "utf-16-be", "utf-32", "cp037"))
    return bytearray(bytes(text).decode("utf-8", "replace").encode(said))


TEXT_CHANGES: dict[str, Callable[[bytearray, random.Random, bool], bytearray]] = {
    "bytes changed": _text_changed,
    "cut": lambda text, draw, _light: text[: draw.randrange(len(text))],
    "NULs": lambda text, draw, _light: _put_in(text, draw, (b"\0",)),
    "quotes": lambda text, draw, _light: _put_in(text, draw, (b'"', b'""', b'"\n')),
    "separators": lambda text, draw, _light: _put_in(text, draw, (b",", b";", b"\t", b"|", b"\r")),
    "long line": lambda text, draw, light: (
        text + draw.choice((b",", b"x", b'"')) * draw.choice((200_000, 200_000 if light else 13_000_000))
    ),
    "encoding": _other_encoding,
    "odd cells": _odd_cells,
    "noise": lambda _text, draw, _light: bytearray(draw.randbytes(draw.choice((10, 5_000)))),
    "many lines": lambda text, draw, light: (
        text + b"\n".join([bytes(text).splitlines()[-1]] * draw.choice((200, 200 if light else 120_000)))
    ),
}


def _of_text(raw: bytes, draw: random.Random, light: bool) -> Mutant:
    way = draw.choice(sorted(TEXT_CHANGES))
    text = TEXT_CHANGES[way](bytearray(raw), draw, light)
    return Mutant(f"text: {way}", draw.choice((".csv", ".csv", ".txt", ".tsv", ".xlsx")), bytes(text))


HEAVY = {"very many cells", "very long text", "very long tag", "very deep", "very many parts"}


def mutants(
    books: list[bytes], texts: list[bytes], wanted: int, seed: int, *, light: bool = False
) -> Iterator[Mutant]:
    """Yield *wanted* broken files; the same seed, the same files. *light*: none that is slow to make."""
    draw = random.Random(seed)
    ways = [way for way in CHANGES.items() if not light or way[0] not in HEAVY]
    for number in range(wanted):
        raw = draw.choice(books)
        if number % 4 == 3:
            yield _of_text(draw.choice(texts), draw, light)
        elif number % 8 == 1:
            yield _of_zip(raw, draw)
        else:
            rare = number % 100 == 50 and not light
            way, change = draw.choice(list(RARE.items())) if rare else ways[number % len(ways)]
            parts = parts_of(raw)
            change(parts, draw)
            yield Mutant(f"workbook: {way}", ".xlsx", packed(parts, 1))
