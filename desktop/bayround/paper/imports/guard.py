"""What a workbook's outer wrapping says, looked at before anything in it is unpacked."""

from __future__ import annotations

import struct
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from bayround.facts.problems import Problem
from bayround.paper.imports import limits
from bayround.paper.imports.limits import cannot_be_read, too_large
from bayround.words import _

_OLD_OR_LOCKED = bytes.fromhex("d0cf11e0a1b11ae1")
_END, _END_BYTES, _LONGEST_REMARK = b"PK\x05\x06", 22, 65_535
_FAR_END = b"PK\x06\x07"
_AT_ONCE = 1 << 16


def refuse_by_look(path: Path, name: str) -> None:
    """Refuse what is no workbook, is locked with a password, or whose directory is out of bounds.

    Raises:
        Problem: with the reason in words.
    """
    size = path.stat().st_size
    if size > limits.FILE_BYTES:
        raise too_large(name, _("more than {n} MB").format(n=limits.FILE_BYTES >> 20))
    with path.open("rb") as file:
        if file.read(8) == _OLD_OR_LOCKED:
            raise cannot_be_read(name, _("it is locked with a password, or of an old kind (.xls)"))
        file.seek(max(0, size - _END_BYTES - _LONGEST_REMARK - 20))
        tail = file.read()
    place = tail.rfind(_END)
    if place < 0 or len(tail) - place < _END_BYTES:
        raise cannot_be_read(name, _("it is not a workbook, or only a part of one"))
    disk, of_disks, here, parts, directory, _start, _remark = struct.unpack(
        "<4H2LH", tail[place + 4 : place + 22]
    )
    if _FAR_END in tail[max(0, place - 20) : place] or disk or of_disks or here != parts:
        raise cannot_be_read(name, _("it is packed in a way that workbooks are not"))
    if parts > limits.PARTS or directory > limits.DIRECTORY_BYTES:
        raise too_large(name, _("more than {n} parts").format(n=limits.PARTS))


def refuse_parts(parts: list[zipfile.ZipInfo], name: str) -> None:
    """Refuse parts that are locked, doubled, named to lead elsewhere, or that would unpack to too much.

    Raises:
        Problem: with the reason in words.
    """
    names = {part.filename.casefold() for part in parts}
    if len(parts) > limits.PARTS:
        raise too_large(name, _("more than {n} parts").format(n=limits.PARTS))
    if len(names) != len(parts):
        raise cannot_be_read(name, _("it holds a part twice"))
    if any(part.flag_bits & 0x41 for part in parts):
        raise cannot_be_read(name, _("it is locked with a password"))
    if any(each.startswith(("/", "\\")) or ".." in each or ":" in each or "\\" in each for each in names):
        raise cannot_be_read(name, _("a part in it leads to another folder"))
    if any(part.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED} for part in parts):
        raise cannot_be_read(name, _("it is packed in a way that workbooks are not"))
    if any(each.endswith(("vbaproject.bin", "vbadata.xml")) or "/macrosheets/" in each for each in names):
        raise cannot_be_read(name, _("it holds macros (a program of its own)"))
    if any("/externallinks/" in each for each in names):
        raise cannot_be_read(name, _("it draws values from other files"))
    if not {"[content_types].xml", "xl/workbook.xml"} <= names:
        raise cannot_be_read(name, _("it is not an .xlsx workbook"))
    for part in parts:
        packed = max(part.compress_size, 1)
        if part.file_size > limits.FREE_OF_RATIO_BYTES and part.file_size > limits.RATIO * packed:
            raise too_large(name, _("a part of it unpacks to {n} times its size").format(n=limits.RATIO))
    if sum(part.file_size for part in parts) > limits.UNPACKED_BYTES:
        raise too_large(name, _("unpacked more than {n} MB").format(n=limits.UNPACKED_BYTES >> 20))


def pieces(opened: IO[bytes], declared: int, name: str) -> Iterator[bytes]:
    """Yield what really comes out of a part, piece by piece; more than was declared is refused.

    Raises:
        Problem: when it is more.
    """
    seen = 0
    while piece := opened.read(_AT_ONCE):
        seen += len(piece)
        if seen > declared:
            raise cannot_be_read(name, _("a part is larger than it says"))
        yield piece


def open_parts(path: Path, name: str) -> zipfile.ZipFile:
    """Return a workbook's parts, after every look from outside.

    Raises:
        Problem: with the reason in words.
    """
    refuse_by_look(path, name)
    try:
        opened = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, struct.error) as error:
        raise cannot_be_read(name, _("it is not a workbook, or only a part of one")) from error
    try:
        refuse_parts(opened.infolist(), name)
    except Problem:
        opened.close()
        raise
    return opened
