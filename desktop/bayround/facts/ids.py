"""Keys of records: UUID version 7 (RFC 9562), made on the laptop so that files can merge."""

from __future__ import annotations

import uuid

from uuid6 import uuid7

_BAYROUND = uuid.UUID("4f2b8d2e-7c1a-5e0b-9a35-6d1f0c9b7a11")


def new_id() -> str:
    """Return a new key as 36 characters. Its time part is never used as evidence of when."""
    return str(uuid7())


def same_id(*parts: str) -> str:
    """Return a key made of *parts* alone (UUID version 5): two people who make it at once make the same one."""
    return str(uuid.uuid5(_BAYROUND, "\n".join(parts)))
