"""A data package read again. It comes from elsewhere: looked at before it is unpacked, every cell by its type."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from zipfile import BadZipFile, ZipFile

from bayround.facts.problems import Problem
from bayround.paper import zip_limits
from bayround.paper.data_package import describing
from bayround.paper.data_package.values import FactField, FactTable, fields_of, value_of
from bayround.words import _

_LONGEST_CELL = 1_000_000


def read(path: Path, kinds: Mapping[str, type[Any]], schema_version: int) -> list[FactTable]:
    """Return the tables of a package; *kinds* are the classes of facts by table.

    Raises:
        Problem: damaged, of another version, a table or a value missing or wrong; with table, line and field.
    """
    zip_limits.refuse_strange(path, zip_limits.Limits())
    with _in_words(path), ZipFile(path) as parts:
        if describing.NAME not in parts.namelist():
            raise _wrong(path, _("it is no data package that Bayround wrote"))
        described = json.loads(parts.read(describing.NAME).decode("utf-8"))
        digests = {one["path"]: one["hash"] for one in described["resources"]}
        found = described["bayround"]["schema"]
        if found != schema_version:
            raise Problem(
                _("“{name}” is of version {found}, this Bayround reads version {known}.").format(
                    name=path.name, found=found, known=schema_version
                ),
                _("No farm was made."),
            )
        return [_table(path, parts, digests, name, fact) for name, fact in kinds.items()]


def _table(path: Path, parts: ZipFile, digests: Mapping[str, str], name: str, fact: type[Any]) -> FactTable:
    place = describing.path_of(name)
    data = parts.read(place)
    if digests[place] != f"sha256:{hashlib.sha256(data).hexdigest()}":
        raise _wrong(path, _("“{table}” is not as it was written: its digest differs").format(table=place))
    rows = csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True)
    fields = fields_of(fact)
    if next(rows, []) != [field.name for field in fields]:
        raise _wrong(path, _("“{table}” has other columns").format(table=place))
    return FactTable(name, fact, tuple(_fact(path, place, fact, fields, row, rows.line_num) for row in rows))


def _fact(
    path: Path, place: str, fact: type[Any], fields: tuple[FactField, ...], row: list[str], line: int
) -> Any:
    if len(row) != len(fields):
        raise _wrong(path, _("“{table}”, line {line}: {n} cells").format(table=place, line=line, n=len(row)))
    values = []
    for field, text in zip(fields, row):
        try:
            values.append(value_of(field, text))
        except (ValueError, KeyError) as error:
            told = _("“{table}”, line {line}, {field}: “{text}” is no value of it")
            wrong = told.format(table=place, line=line, field=field.name, text=text[:60])
            raise _wrong(path, wrong) from error
    return fact(*values)


def _wrong(path: Path, what: str) -> Problem:
    return Problem(
        _("“{name}” can't be read: {what}.").format(name=path.name, what=what), _("No farm was made.")
    )


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Whatever a strange file makes the reader stumble over is the file's fault."""
    limit = csv.field_size_limit(_LONGEST_CELL)
    try:
        yield
    except Problem:
        raise
    except KeyError as error:
        raise _wrong(path, _("{part} is missing").format(part=error)) from error
    except (ValueError, TypeError, csv.Error, BadZipFile, zlib.error, EOFError, RecursionError) as error:
        raise _wrong(path, _("it is damaged or no data package")) from error
    except (OSError, NotImplementedError, RuntimeError) as error:
        raise _wrong(path, str(error)) from error
    finally:
        csv.field_size_limit(limit)
