"""Keys of records: UUID version 7 (RFC 9562), made on the laptop so that files can merge.

A key is written in 22 signs (0–9, A–Z, a–z) and not in the usual 36: a large farm's file, most of which is keys, is
a third smaller. The signs are in the order of ASCII and their number is fixed, so that keys come in the order of
time wherever text is compared sign by sign. Files of version 1 hold keys of 36 signs; both stand side by side, and
a short key comes after every long one made before the year 2074.
"""

from __future__ import annotations

import string
import uuid
import zlib

from uuid6 import uuid7

SHORT, LONG = 22, 36
LENGTHS = (SHORT, LONG)
"""How many signs a key may have: today's, and that of version 1."""

_BAYROUND = uuid.UUID("4f2b8d2e-7c1a-5e0b-9a35-6d1f0c9b7a11")
_SIGNS = string.digits + string.ascii_uppercase + string.ascii_lowercase
_PAIRS = [first + second for first in _SIGNS for second in _SIGNS]


def new_id() -> str:
    """Return a new key as 22 signs. Its time part is never used as evidence of when."""
    return short(uuid7())


def same_id(*parts: str) -> str:
    """Return a key made of *parts* alone (UUID version 5): two people who make it at once make the same one."""
    return short(uuid.uuid5(_BAYROUND, "\n".join(parts)))


def short(key: uuid.UUID) -> str:
    """Return a UUID in 22 signs: its 128 bits as a number to the base of 62."""
    rest, pairs = key.int, []
    for _pair in range(SHORT // 2):
        rest, place = divmod(rest, len(_PAIRS))
        pairs.append(_PAIRS[place])
    return "".join(reversed(pairs))


def uuid_of(key: str) -> uuid.UUID:
    """Return the UUID that a key of either length stands for.

    Raises:
        ValueError: when the text is no such key.
    """
    if len(key) != SHORT:
        return uuid.UUID(key)
    number = 0
    for sign in key:
        number = number * len(_SIGNS) + _SIGNS.index(sign)
    return uuid.UUID(int=number)


def seed_of(key: str) -> int:
    """Return a whole number below 2**32 that is always the same for a key, to begin a draw by lot with."""
    try:
        return uuid_of(key).int % 2**32
    except ValueError:
        return zlib.crc32(key.encode())


def in_small_letters(key: str) -> str:
    """Return a key for a place where capitals may not stand, or count the same: the usual 36 signs of its UUID."""
    try:
        return str(uuid_of(key))
    except ValueError:
        return key.casefold()
