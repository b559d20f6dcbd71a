"""Mode-of-action groups used again on the same crop: said, never decided.

Source of the rule: IRAC mode-of-action scheme (do not treat successive generations with the same group;
several applications within one window are one use; rotate on the group number only). FRAC, HRAC: the same.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime

from bayround import words
from bayround.facts.moments import local_day
from bayround.facts.work import Treatment
from bayround.words import _

_SCHEMES = re.compile(r"\b(?:irac|frac|hrac|group|moa|grp)\b[:.]?", re.IGNORECASE)


def groups(text: str) -> frozenset[str]:
    """Return the groups in what was typed from a label: ``IRAC 4A + 3A`` → 4A, 3A."""
    plain = _SCHEMES.sub(" ", text).replace(" and ", "+")
    parts = re.split(r"[+,;/&]|\s{2,}", plain)
    return frozenset(part.strip().upper().replace(" ", "") for part in parts if part.strip())


def repeated(
    bay_name: str,
    group: str,
    ended_at: datetime,
    earlier: Sequence[Treatment],
    crop_since: datetime | None = None,
) -> tuple[str, ...]:
    """Return in words which groups of a treatment were used on this bay's crop before.

    *earlier* are the bay's other treatments; those before *crop_since* (transplanting) do not count.
    """
    before = [
        item
        for item in earlier
        if item.ended_at < ended_at and (crop_since is None or item.ended_at >= crop_since)
    ]
    before.sort(key=lambda item: item.ended_at)
    found = []
    for one in sorted(groups(group)):
        uses = [item for item in before if one in groups(item.mode_of_action_group)]
        if not uses:
            continue
        last = uses[-1].ended_at
        days = (local_day(ended_at) - local_day(last)).days
        text = words.counted(
            "{n} treatment of this crop with the same group before it",
            "{n} treatments of this crop with the same group before it",
            len(uses),
        )
        when = words.counted("{n} day earlier", "{n} days earlier", days)
        found.append(
            _("{bay}: group {group} again; {count}, the last on {day} ({when}).").format(
                bay=bay_name, group=one, count=text, day=words.day(local_day(last)), when=when
            )
        )
    return tuple(found)
