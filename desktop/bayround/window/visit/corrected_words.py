"""What a corrected value was before, who changed it, when and why, in one line."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bayround import words
from bayround.week.visit_sheet import Corrected
from bayround.words import _


def told(entries: Sequence[Corrected], worded: Callable[[str], str]) -> str:
    """Return the history of one value, newest first; *worded* says an earlier value as its cell would."""
    return "; ".join(_told(entry, worded) for entry in reversed(entries))


def _told(entry: Corrected, worded: Callable[[str], str]) -> str:
    what = (
        _("was {before}").format(before=worded(entry.before) or _("empty"))
        if entry.field
        else _("added after the bay was finished")
    )
    parts = (what, entry.who, words.moment(entry.at), entry.reason)
    return _("corrected: {what}").format(what=", ".join(part for part in parts if part))
