"""Values of facts as CSV text and back, by the type of the field; what is not known is an empty cell."""

from __future__ import annotations

import types
from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import Any, Union, cast, get_args, get_origin, get_type_hints

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


@dataclass(frozen=True, slots=True)
class FactField:
    """A field of a kind of fact: its name, its plain type, whether it may be missing."""

    name: str
    kind: type[Any]
    optional: bool


@dataclass(frozen=True, slots=True)
class FactTable:
    """One table: its name, the class of its facts, the facts themselves."""

    name: str
    fact: type[Any]
    facts: tuple[Any, ...]


def fields_of(fact: type[Any]) -> tuple[FactField, ...]:
    """Return the fields of a class of facts, in order."""
    hints = get_type_hints(fact)
    return tuple(_field(one.name, hints[one.name]) for one in fields(cast(Any, fact)))


def _field(name: str, hint: Any) -> FactField:
    if get_origin(hint) in (Union, types.UnionType):
        (kind,) = (one for one in get_args(hint) if one is not types.NoneType)
        return FactField(name, kind, True)
    return FactField(name, hint, False)


def text_of(value: Any) -> str:
    """Return a value as a cell. Text that a spreadsheet could take for a formula gets ``'`` before it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, str):
        return f"'{value}" if value.startswith(_STARTS_A_FORMULA) else value
    if isinstance(value, datetime):
        return value.astimezone(UTC).replace(tzinfo=None).isoformat() + "Z"
    return value.isoformat() if isinstance(value, date) else repr(value)


def value_of(field: FactField, text: str) -> Any:
    """Return a cell as the value of a field.

    Raises:
        ValueError: when it is none, or a value that must be there is missing.
    """
    if text == "" and field.optional:
        return None
    if issubclass(field.kind, StrEnum):
        return field.kind(text)
    return _READ[field.kind](text)


def _text(text: str) -> str:
    return text[1:] if text.startswith("'") else text


def _yes_no(text: str) -> bool:
    return {"true": True, "false": False}[text]


def _number(text: str) -> float:
    value = float(text)
    if value != value or value in (float("inf"), float("-inf")):
        raise ValueError(text)
    return value


def _instant(text: str) -> datetime:
    if not text.endswith("Z"):
        raise ValueError(text)
    return datetime.fromisoformat(text[:-1]).replace(tzinfo=UTC)


_READ: dict[type[Any], Callable[[str], Any]] = {
    str: _text,
    bool: _yes_no,
    int: int,
    float: _number,
    datetime: _instant,
    date: date.fromisoformat,
}
