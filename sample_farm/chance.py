"""Chance with a memory: the same seed and the same names always draw the same numbers and keys."""

from __future__ import annotations

import hashlib
import math
from datetime import date
from random import Random
from uuid import UUID

from bayround.facts.ids import short

_EPOCH = date(1970, 1, 1)
_DAY_MS = 86_400_000


def stream(seed: int, *names: object) -> Random:
    """Return a stream of chance of its own, so that a change in one bay leaves the others as they were."""
    return Random("/".join(str(name) for name in (seed, *names)))


def fact_id(seed: int, day: date, *names: object) -> str:
    """Return a key shaped like a UUID of version 7 (RFC 9562) that depends on nothing but its arguments."""
    digest = hashlib.sha256("/".join(map(str, (seed, *names))).encode()).digest()
    milliseconds = (day - _EPOCH).days * _DAY_MS + int.from_bytes(digest[:4]) % _DAY_MS
    key = f"{milliseconds:012x}7{digest[4:6].hex()[1:]}{0x80 | digest[6] & 0x3F:02x}{digest[7:14].hex()}"
    return short(UUID(key))


def normal(rng: Random, mean: float, spread: float) -> float:
    """Draw about normally (twelve uniform numbers added), never further than six *spread* away."""
    draw = rng.random
    return mean + spread * (sum([draw() for _ in range(12)]) - 6.0)


def poisson(rng: Random, mean: float) -> int:
    """Draw a count with this mean (Knuth's product of uniform numbers; for means below about 50)."""
    limit = math.exp(-mean)
    count, product = 0, rng.random()
    while product > limit:
        count += 1
        product *= rng.random()
    return count


def binomial(rng: Random, tries: int, share: float) -> int:
    """Draw how many of *tries* hit when each hits with chance *share*."""
    return sum(rng.random() < share for _ in range(tries))


def half_up(value: float, step: float) -> float:
    """Round to the nearest *step* (a half goes up), as read off a measuring stick."""
    return math.floor(value / step + 0.5) * step
