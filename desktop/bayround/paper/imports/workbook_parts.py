"""The parts of an .xlsx file (ECMA-376, part 1) that hold values: sheets, shared texts, which numbers are dates."""

from __future__ import annotations

import posixpath
import zipfile
from dataclasses import dataclass, field

from bayround.paper.imports import guard, limits, xml_stream
from bayround.paper.imports.limits import cannot_be_read, too_large
from bayround.paper.imports.xml_stream import Attributes, Begin, Budget, End, Progress, Text
from bayround.words import _

_BUILT_IN_DATES = frozenset({*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)})
"""Numbers of formats that show a date or a time without being spelled out (ECMA-376 part 1, 18.8.30)."""


@dataclass(slots=True)
class Parts:
    """An opened workbook: its zip, what is left of its budget, where its sheets are."""

    zip: zipfile.ZipFile
    budget: Budget
    sheets: list[tuple[str, str]] = field(default_factory=list)
    """Name and part of each sheet, in order."""
    from_1904: bool = False
    texts: list[str] = field(default_factory=list)
    date_styles: frozenset[int] = frozenset()

    def read(self, part: str, begin: Begin, end: End, text: Text) -> None:
        """Read a part's XML.

        Raises:
            Problem: when it is missing, broken, larger than it says, or more than the budget.
        """
        try:
            about = self.zip.getinfo(part)
        except KeyError as error:
            raise cannot_be_read(self.budget.name, _("a part of it is missing")) from error
        with self.zip.open(about) as opened:
            pieces = guard.pieces(opened, about.file_size, self.budget.name)
            xml_stream.read(pieces, self.budget, begin, end, text)


def read_parts(opened: zipfile.ZipFile, name: str, progress: Progress | None = None) -> Parts:
    """Return the workbook's sheets by name, its texts and its styles; the sheets themselves are not read yet.

    Raises:
        Problem: when something is missing, broken or too much.
    """
    unpacked = sum(part.file_size for part in opened.infolist() if part.filename.startswith("xl/"))
    parts = Parts(opened, Budget(name, progress, unpacked))
    targets = _targets(parts)
    listed = _read_workbook(parts)
    for title, key in listed:
        target = targets.get(key, ("", ""))
        if target[0] == "worksheet":
            parts.sheets.append((title, target[1]))
    for kind, part in targets.values():
        if kind == "sharedStrings":
            parts.texts = _read_texts(parts, part)
        if kind == "styles":
            parts.date_styles = _read_styles(parts, part)
    if not parts.sheets:
        raise cannot_be_read(name, _("it holds no sheet"))
    return parts


def _nothing(*_what: object) -> None:
    return None


def _targets(parts: Parts) -> dict[str, tuple[str, str]]:
    found: dict[str, tuple[str, str]] = {}

    def begin(tag: str, about: Attributes) -> None:
        if tag == "Relationship":
            if len(found) > limits.PARTS:
                raise too_large(parts.budget.name, _("more than {n} parts").format(n=limits.PARTS))
            if about.get("TargetMode") == "External":
                return
            target = about.get("Target", "")
            part = posixpath.normpath(target.lstrip("/") if target.startswith("/") else f"xl/{target}")
            found[about.get("Id", "")] = (about.get("Type", "").rpartition("/")[2], part)

    parts.read("xl/_rels/workbook.xml.rels", begin, _nothing, _nothing)
    return found


def _read_workbook(parts: Parts) -> list[tuple[str, str]]:
    listed: list[tuple[str, str]] = []

    def begin(tag: str, about: Attributes) -> None:
        if tag == "sheet":
            listed.append((parts.budget.text(about.get("name", "")), about.get("id", "")))
        elif tag == "workbookPr":
            parts.from_1904 = about.get("date1904", "0") in {"1", "true"}

    parts.read("xl/workbook.xml", begin, _nothing, _nothing)
    if len(listed) > limits.PARTS:
        raise too_large(parts.budget.name, _("more than {n} parts").format(n=limits.PARTS))
    return listed


def _read_texts(parts: Parts, part: str) -> list[str]:
    texts: list[str] = []
    pieces: list[str] = []
    inside = {"t": False, "rPh": False}

    def begin(tag: str, _about: Attributes) -> None:
        if tag == "si":
            pieces.clear()
        elif tag in inside:
            inside[tag] = True

    def end(tag: str) -> None:
        if tag in inside:
            inside[tag] = False
        elif tag == "si":
            texts.append(parts.budget.text("".join(pieces)))
            pieces.clear()

    def said(text: str) -> None:
        if inside["t"] and not inside["rPh"]:
            pieces.append(text)

    parts.read(part, begin, end, said)
    return texts


def _read_styles(parts: Parts, part: str) -> frozenset[int]:
    from openpyxl.styles.numbers import is_date_format

    own: dict[str, str] = {}
    used: list[str] = []
    inside = [False]

    def begin(tag: str, about: Attributes) -> None:
        if tag == "numFmt":
            own[about.get("numFmtId", "")] = about.get("formatCode", "")[:255]
        elif tag == "cellXfs":
            inside[0] = True
        elif tag == "xf" and inside[0]:
            used.append(about.get("numFmtId", "0")[:12])
        if len(own) + len(used) > limits.STYLES:
            raise too_large(parts.budget.name, _("more than {n} styles").format(n=limits.STYLES))

    def end(tag: str) -> None:
        inside[0] = inside[0] and tag != "cellXfs"

    parts.read(part, begin, end, _nothing)
    dates = {key for key, code in own.items() if is_date_format(code)}
    dates |= {str(number) for number in _BUILT_IN_DATES} - set(own)
    return frozenset(place for place, key in enumerate(used) if key in dates)
