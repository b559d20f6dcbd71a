"""Does a workbook that went out still say what the farm file says?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from bayround import words
from bayround.actions import week as week_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.paper.workbook import comparing, reading_back
from bayround.paper.workbook.reading_back import Ties
from bayround.records import history, read_season
from bayround.week import corrected, digest
from bayround.week.corrected import CorrectedValue
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

__all__ = ["Verdict", "verify"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was compared (*about*, one line) and what differs, in words; nothing when all agrees.

    *explained* are the corrections that the file has and the workbook could not know of.
    """

    about: str
    differs: tuple[str, ...]
    explained: tuple[str, ...] = ()


def verify(farm: OpenFarm, workbook: Path) -> Verdict:
    """Compare a weekly workbook with the farm file as it is now: sheets, digest, history.

    Raises:
        Problem: when the workbook can't be read or is none of Bayround's.
    """
    read = reading_back.read(workbook)
    ties = read.ties
    about = _("{week}, as of {day}, revision {revision}, written by Bayround {version}").format(
        week=ties.week, day=words.day(ties.as_of), revision=ties.revision, version=ties.version or "?"
    )
    if ties.farm_id != farm.info.id:
        return Verdict(about, (_("The workbook is of another farm."),))
    season = read_season.read_season(farm.store)
    differs = [*history.verify_chain(farm.store), *_of_history(ties, season)]
    try:
        seen = week_actions.picture(farm, ties.week, ties.looked_on)
    except Refused as refused:
        return Verdict(about, (*differs, refused.message))
    snapshot = week_actions.with_history(farm, seen)
    differs += _of_facts(ties, snapshot)
    differs += (found.line for found in comparing.differences(read, snapshot, farm.crops))
    knew = corrected.entries_up_to(season, ties.head) or frozenset()
    later = corrected.in_words(season, [one for one in season.corrections if one.id not in knew])
    return Verdict(about, tuple(differs), tuple(_told(one) for one in later))


def _of_history(ties: Ties, season: SeasonFacts) -> Iterator[str]:
    if ties.revision > season.farm.revision:
        yield _("The file is older than the workbook: revision {file} against {book}.").format(
            file=season.farm.revision, book=ties.revision
        )
    if ties.corrections > len(season.corrections):
        yield _("The workbook knew of {book} corrections, the file has {file}: entries are missing.").format(
            book=ties.corrections, file=len(season.corrections)
        )
    elif len(corrected.entries_up_to(season, ties.head) or ()) != ties.corrections:
        yield _("The history of corrections up to the workbook is not the one it was written from.")


def _of_facts(ties: Ties, snapshot: WeekSnapshot) -> Iterator[str]:
    now = digest.of_week(snapshot)
    if now != ties.digest:
        yield _("The facts of the week are not the same: digest {book} in the workbook, {file} now.").format(
            book=ties.digest[:12], file=now[:12]
        )
    if not ties.closed:
        return
    closes = [close for close in snapshot.closes if close.closed_at.isoformat() == ties.closed]
    if not closes:
        yield _("The workbook says that it closed the week; the file knows nothing of it.")
    elif closes[0].digest != ties.digest:
        yield _("The digest in the workbook is not the one kept when the week was closed.")


def _told(one: CorrectedValue) -> str:
    place = one.place
    where = " · ".join(
        part
        for part in (place.house, place.bay, words.day(place.day) if place.day else "", place.what)
        if part
    )
    return _("{where}, {field}: {before} → {after} ({who}, {moment}: {why})").format(
        where=where or one.table,
        field=one.field.replace("_", " "),
        before=one.before or _("(empty)"),
        after=one.after or _("(empty)"),
        who=one.who or _("somebody"),
        moment=words.moment(one.at.astimezone()),
        why=one.why,
    )
