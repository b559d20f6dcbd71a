"""The description of a data package: Table Schema of every table, units, keys, digests."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from bayround import __version__
from bayround.facts.farm import FarmInfo
from bayround.facts.ids import in_small_letters
from bayround.paper.data_package import meanings
from bayround.paper.data_package.values import FactField, FactTable, fields_of

NAME = "datapackage.json"
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
TABLES, LISTS = "data", "lists"

_TYPES: tuple[tuple[type[Any], str], ...] = (
    (bool, "boolean"), (int, "integer"), (float, "number"), (datetime, "datetime"), (date, "date"),
    (str, "string"),
)  # fmt: skip
_ABOUT = (
    "A whole farm as Bayround keeps it: one CSV file a table (RFC 4180, UTF-8), dates and instants by ISO 8601 "
    "(instants in UTC), units as UCUM codes. An empty cell is not known; in a text field it is an empty text. "
    "Text that begins with = + - @ ' or a tab has ' before it, so that no spreadsheet takes it for a formula. "
    "“bayround rebuild” makes the farm file again. Where fields name MIAPPE fields, that is a mapping to its names; "
    "no conformance is claimed."
)


def path_of(table: str) -> str:
    """Return where a table lies in the package."""
    return f"{TABLES}/{table}.csv"


def describe(
    farm: FarmInfo, tables: Sequence[FactTable], lists: Sequence[dict[str, Any]], schema_version: int,
    contents: dict[str, bytes],
) -> dict[str, Any]:  # fmt: skip
    """Return the whole description; *contents* are the files by path, *lists* the resources beside the tables."""
    return {
        "$schema": PROFILE,
        "name": f"bayround-{in_small_letters(farm.id)}",
        "title": f"{farm.name}, revision {farm.revision}",
        "description": _ABOUT + (" The farm and all its numbers are invented." if farm.invented else ""),
        "version": str(farm.revision),
        "bayround": {"version": __version__, "schema": schema_version, "revision": farm.revision},
        "resources": [_resource(table, contents) for table in tables]
        + [_digested(one, contents) for one in lists],
    }


def _resource(table: FactTable, contents: dict[str, bytes]) -> dict[str, Any]:
    schema: dict[str, Any] = {
        "$schema": "https://datapackage.org/profiles/2.0/tableschema.json",
        "fields": [_field(table.name, one) for one in fields_of(table.fact)],
        "primaryKey": ["id"],
        "missingValues": [""],
    }
    keys = [
        {"fields": [one.name], "reference": {"resource": "" if to == table.name else to, "fields": ["id"]}}
        for one in fields_of(table.fact)
        if (to := meanings.reference(one.name))
    ]
    if keys:
        schema["foreignKeys"] = keys
    about = " ".join((table.fact.__doc__ or "").split())
    return _digested(resource(table.name, path_of(table.name), schema, about), contents)


def resource(name: str, path: str, schema: dict[str, Any], about: str) -> dict[str, Any]:
    """Return one CSV resource."""
    return {
        "name": name.replace("_", "-") if path.startswith(LISTS) else name,
        "path": path,
        "type": "table",
        "description": about,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True},
        "schema": schema,
    }


def _digested(described: dict[str, Any], contents: dict[str, bytes]) -> dict[str, Any]:
    data = contents[described["path"]]
    return {**described, "bytes": len(data), "hash": f"sha256:{hashlib.sha256(data).hexdigest()}"}


def _field(table: str, field: FactField) -> dict[str, Any]:
    kind = next(name for known, name in _TYPES if issubclass(field.kind, known))
    found: dict[str, Any] = {"name": field.name, "type": kind}
    limits: dict[str, Any] = {}
    if field.name == "id":
        limits = {"required": True, "unique": True}
    elif not field.optional and (kind != "string" or issubclass(field.kind, StrEnum)):
        limits = {"required": True}
    if issubclass(field.kind, StrEnum):
        limits["enum"] = [word.value for word in field.kind]
    if limits:
        found["constraints"] = limits
    if unit := meanings.unit(field.name):
        found["unit"] = unit
    if mapped := meanings.miappe(table, field.name):
        found["mappingToMiappe"] = mapped
    return found
