"""A closed week in words: when, by whom, what was corrected since."""

from __future__ import annotations

from bayround import words
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _


def told(snapshot: WeekSnapshot) -> str:
    """Say when and by whom the week was closed, and what was corrected since; empty while it is open."""
    close = snapshot.close
    if close is None:
        return ""
    who = snapshot.person_name(close.person_id) or _("somebody who gave no name")
    text = _("Closed on {moment} by {who}, at revision {revision}.").format(
        moment=words.moment(close.closed_at.astimezone()), who=who, revision=close.revision
    )
    if snapshot.corrected_since:
        made = words.counted(
            "{n} correction was made since; the next workbook lists it.",
            "{n} corrections were made since; the next workbook lists them.",
            len(snapshot.corrected_since),
        )
        text += f" {made}"
    return text
