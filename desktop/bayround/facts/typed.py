"""What a person had before the eyes when typing: by it, two people on one visit are kept apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

Place = tuple[str, str]
"""What a typed value belongs to (a marked plant's id, a record's id, a visit's id) and its field."""


@dataclass(frozen=True, slots=True)
class Typed:
    """Who typed, when, and the values seen until then.

    Attributes:
        seen: place → the value, or the whole record, that was kept as far as this person knew.
            What is not in it is not compared.
    """

    person_id: str | None
    at: datetime
    seen: Mapping[Place, object]
