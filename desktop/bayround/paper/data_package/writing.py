"""A whole farm written as a data package, one zip file; the same farm gives the same bytes."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from bayround.crops import Crops
from bayround.facts.farm import FarmInfo
from bayround.paper.data_package import describing
from bayround.paper.data_package.values import FactTable, fields_of, text_of
from bayround.paper.workbook.saving import write_whole

_DAY_OF_ALL = (2020, 1, 1, 0, 0, 0)
_LISTED = ("key", "name", "scientific_name", "eppo_code")


def write(path: Path, farm: FarmInfo, tables: Sequence[FactTable], schema_version: int, crops: Crops) -> Path:
    """Write the package to *path* and return it.

    Raises:
        Problem: the folder is missing or read-only, the disk is full; an earlier file is as it was.
    """
    write_whole(path, packed(farm, tables, schema_version, crops))
    return path


def packed(farm: FarmInfo, tables: Sequence[FactTable], schema_version: int, crops: Crops) -> bytes:
    """Return the package's bytes."""
    contents = {describing.path_of(table.name): _csv(_heads(table), _rows(table)) for table in tables}
    lists = []
    for name, about, rows in _lists(crops):
        place = f"{describing.LISTS}/{name}.csv"
        contents[place] = _csv(_LISTED, rows)
        schema = {"fields": [{"name": one, "type": "string"} for one in _LISTED], "primaryKey": ["key"]}
        lists.append(describing.resource(name, place, schema, about))
    described = describing.describe(farm, tables, lists, schema_version, contents)
    text = json.dumps(described, ensure_ascii=False, indent=2) + "\n"
    return _zip({describing.NAME: text.encode("utf-8"), **contents})


def _lists(crops: Crops) -> Iterator[tuple[str, str, list[list[str]]]]:
    """Yield the program's own lists: what the keys in the tables stand for."""
    profiles = [
        [key, one.name, one.scientific_name, one.eppo_code] for key, one in sorted(crops.profiles.items())
    ]
    yield "crops", "Crops by the key that plantings hold; EPPO codes, not authoritative.", profiles
    organisms = [
        [key, one.name, one.scientific_name, one.eppo_code] for key, one in sorted(crops.organisms.items())
    ]
    yield (
        "organisms",
        "Organisms by the key that checks and cards hold; EPPO codes, not authoritative.",
        organisms,
    )


def _heads(table: FactTable) -> list[str]:
    return [field.name for field in fields_of(table.fact)]


def _rows(table: FactTable) -> Iterator[list[str]]:
    names = _heads(table)
    for fact in table.facts:
        yield [text_of(getattr(fact, name)) for name in names]


def _csv(heads: Sequence[str], rows: Iterable[Sequence[Any]]) -> bytes:
    made = io.StringIO(newline="")
    writer = csv.writer(made, lineterminator="\r\n")
    writer.writerow(heads)
    writer.writerows(rows)
    return made.getvalue().encode("utf-8")


def _zip(contents: dict[str, bytes]) -> bytes:
    made = io.BytesIO()
    with ZipFile(made, "w", ZIP_DEFLATED) as parts:
        for name, data in contents.items():
            info = ZipInfo(name, _DAY_OF_ALL)
            info.compress_type = ZIP_DEFLATED
            info.create_system = 0
            parts.writestr(info, data)
    return made.getvalue()
