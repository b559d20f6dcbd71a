"""The sentences on top of the first sheet, written from the week: changed, late, coming, to decide, can't tell.

Numbers are the figures' own texts. Nothing is reckoned here; two figures are called different only when their
intervals do not overlap.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from bayround import words
from bayround.paper.workbook.contents import bay_name
from bayround.paper.workbook.jobs_due import is_late
from bayround.week.changed import Change, changes
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Sentence:
    """What it is about, in a word or two, and what is said."""

    about: str
    text: str


def write(snapshot: WeekSnapshot) -> tuple[Sentence, ...]:
    """Return the five sentences, and before them, never cut, what to mind: every warning the week carries."""
    mind = [Sentence(_("Mind"), warning) for warning in snapshot.warnings]
    return (
        *mind,
        Sentence(_("Changed"), _changed(snapshot)),
        Sentence(_("Late"), _late(snapshot)),
        Sentence(_("Coming"), _coming(snapshot)),
        Sentence(_("To decide"), _to_decide(snapshot)),
        Sentence(_("Can't tell"), _cannot_tell(snapshot)),
    )


def _changed(snapshot: WeekSnapshot) -> str:
    found, compared = changes(snapshot)
    last_week = snapshot.week.plus(-1)
    if not compared:
        return _("No bay was visited both this week and in {week}, so nothing can be compared.").format(
            week=last_week
        )
    if not found:
        return _(
            "Since {week} no incidence, fruit load or growth changed by more than its uncertainty."
        ).format(week=last_week)
    told = [_told(change) for change in found]
    return _("Since {week}: {changes}.").format(week=last_week, changes=_semicolons(told))


def _told(change: Change) -> str:
    if change.rose:
        text = _("{label} rose from {before} to {now} in {bay}")
    else:
        text = _("{label} fell from {before} to {now} in {bay}")
    return text.format(
        label=change.now.label.lower(),
        before=change.before.text,
        now=change.now.text_with_unit,
        bay=bay_name(change.seen),
    )


def _late(snapshot: WeekSnapshot) -> str:
    late = [job for job in snapshot.jobs if is_late(job.due_on, job.is_due, snapshot.as_of)]
    if not late:
        return _("No job is past its day.")
    late.sort(key=lambda job: (job.priority, job.due_on))
    named = [
        _("{kind} in {bay} (due {day})").format(
            kind=job.kind_text.lower(), bay=job.bay_name, day=job.due_text
        )
        for job in late
    ]
    count = words.counted("{n} job is past its day", "{n} jobs are past their day", len(late))
    return f"{count}: {_semicolons(named)}."


def _coming(snapshot: WeekSnapshot) -> str:
    until = snapshot.as_of + timedelta(days=7)
    kinds = [
        job.kind_text.lower() for job in snapshot.jobs if snapshot.as_of <= job.due_on <= until and job.is_due
    ]
    hours = snapshot.totals.get("hours_due")
    picks = _picks_coming(snapshot)
    if not kinds:
        return picks + _("No further job falls due by {day}.").format(day=words.weekday_day(until))
    count = words.counted("{n} job falls due", "{n} jobs fall due", len(kinds))
    told = ", ".join(f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds))
    text = picks + _("{count} by {day}: {kinds}.").format(
        count=count, day=words.weekday_day(until), kinds=told
    )
    if hours is not None and hours.value is not None:
        text += " " + _("All jobs due together: about {hours} of work.").format(hours=hours.text_with_unit)
    return text


def _picks_coming(snapshot: WeekSnapshot) -> str:
    """Say what is coming to pick next week and where most of it hangs; nothing when it can't be foreseen."""
    total = snapshot.totals.get("picks_kg_next_all")
    if total is None or total.value is None or total.n is None:
        return ""
    known = [(seen, seen.figures["picks_kg_next"]) for seen in snapshot.bays if seen.visit is not None]
    most = sorted(
        ((seen, found) for seen, found in known if found.cell), key=lambda pair: -(pair[1].value or 0.0)
    )
    told = _("Picks next week: about {kg}").format(kg=total.text_with_unit)
    if total.interval_text:
        told += _(" (80 % interval {interval})").format(interval=total.interval_text)
    told += " " + words.counted("from {n} bay", "from {n} bays", total.n)
    if most:
        named = [f"{bay_name(seen)} {found.text_with_unit}" for seen, found in most[:MOST_NAMED]]
        told += _(", most in {bays}").format(bays=", ".join(named))
    return told + ". "


def _to_decide(snapshot: WeekSnapshot) -> str:
    open_jobs = [job for job in snapshot.jobs if job.is_due]
    nobody = [
        _("{kind} in {bay}").format(kind=job.kind_text.lower(), bay=job.bay_name)
        for job in open_jobs
        if job.priority == 1 and not job.assigned_to
    ]
    stopped = [
        _("{kind} in {bay}: {why}").format(kind=job.kind_text.lower(), bay=job.bay_name, why=job.blocked_text)
        for job in open_jobs
        if job.blocked_by
    ]
    parts = []
    if nobody:
        count = words.counted(
            "{n} urgent job is nobody's yet", "{n} urgent jobs are nobody's yet", len(nobody)
        )
        parts.append(f"{count}: {_semicolons(nobody)}.")
    if stopped:
        count = words.counted("{n} job is stopped", "{n} jobs are stopped", len(stopped))
        parts.append(f"{count}: {_semicolons(stopped, 1)}.")
    return " ".join(parts) or _("Every urgent job has been given to somebody, and no job is stopped.")


def _cannot_tell(snapshot: WeekSnapshot) -> str:
    parts = []
    planted = [seen for seen in snapshot.bays if seen.planting is not None]
    missed = [bay_name(seen) for seen in planted if seen.visit is None]
    unchecked = [bay_name(seen) for seen in planted if seen.visit is not None and not seen.visit.checks]
    if missed:
        count = words.counted("{n} bay was not visited", "{n} bays were not visited", len(missed))
        parts.append(f"{count}: {words.listing(missed, MOST_NAMED)}.")
    if unchecked:
        count = words.counted(
            "In {n} bay nobody looked for pests or disease",
            "In {n} bays nobody looked for pests or disease",
            len(unchecked),
        )
        parts.append(f"{count}: {words.listing(unchecked, MOST_NAMED)}.")
    found, compared = changes(snapshot)
    if compared > len(found):
        parts.append(
            _(
                "{small} of {all} figures compared with last week moved by less than their uncertainty."
            ).format(small=compared - len(found), all=compared)
        )
    return " ".join(parts) or _("Every bay with a crop was visited and looked over.")


def _semicolons(told: list[str], at_most: int = MOST_NAMED) -> str:
    """Return ``a; b; and 4 more``."""
    shown = told[:at_most]
    if len(told) > at_most:
        shown.append(words.counted("and {n} more", "and {n} more", len(told) - at_most))
    return "; ".join(shown)
