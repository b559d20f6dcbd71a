"""Read any file that is brought in: guarded, bounded, and every failure in words."""

from __future__ import annotations

import hashlib
import zipfile
import zlib
from pathlib import Path

from bayround.facts.problems import Problem
from bayround.paper.imports import guard, limits, sheet_cells, text_file, workbook_parts
from bayround.paper.imports.grid import Book
from bayround.paper.imports.limits import cannot_be_read, too_large
from bayround.paper.imports.xml_stream import Progress
from bayround.words import _

_TEXT_SUFFIXES = {".csv", ".tsv", ".txt"}
_BOOK_SUFFIXES = {".xlsx", ".xlsm"}


def read(path: Path, progress: Progress | None = None) -> Book:
    """Return a file's sheets as plain values. Nothing of the file is run, worked out or followed.

    *progress* is told the share that is read, and returns true when the person wants to stop.

    Raises:
        Stopped: when they do.
        Problem: whatever is wrong with it, in words.
    """
    name = path.name
    try:
        if not path.is_file():
            raise Problem(
                _("There is no file “{name}”.").format(name=path),
                _("Nothing was brought in."),
                _("Look for it in another folder."),
            )
        if path.suffix.casefold() in _TEXT_SUFFIXES:
            return _text(path, name, progress)
        if path.suffix.casefold() not in _BOOK_SUFFIXES:
            raise cannot_be_read(name, _("only .xlsx and .csv files come in"))
        return _workbook(path, name, progress)
    except Problem:
        raise
    except MemoryError as error:
        raise too_large(name, _("more than this computer can hold")) from error
    except (OSError, ValueError, KeyError, IndexError, EOFError, ArithmeticError, RecursionError) as error:
        raise cannot_be_read(name, _("a part of it is broken")) from error
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError) as error:
        raise cannot_be_read(name, _("a part of it is broken")) from error


def _text(path: Path, name: str, progress: Progress | None) -> Book:
    if path.stat().st_size > limits.TEXT_FILE_BYTES:
        raise too_large(name, _("more than {n} MB").format(n=limits.TEXT_FILE_BYTES >> 20))
    raw = path.read_bytes()
    sheet = text_file.read_sheet(path, name, raw, progress)
    return Book(name, hashlib.sha256(raw).hexdigest(), (sheet,), text_file=True)


def _workbook(path: Path, name: str, progress: Progress | None) -> Book:
    with guard.open_parts(path, name) as opened:
        parts = workbook_parts.read_parts(opened, name, progress)
        sheets = tuple(sheet_cells.read_sheet(parts, title, part) for title, part in parts.sheets)
    return Book(name, hashlib.sha256(path.read_bytes()).hexdigest(), sheets)
