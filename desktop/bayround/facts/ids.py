"""Keys of records: UUID version 7 (RFC 9562), made on the laptop so that files can merge."""

from __future__ import annotations

from uuid6 import uuid7


def new_id() -> str:
    """Return a new key as 36 characters. Its time part is never used as evidence of when."""
    return str(uuid7())
