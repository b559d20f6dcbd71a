"""The picture of a week: what screens show, what the workbook holds, what commands print."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from bayround.actions.farm import OpenFarm
from bayround.facts.bay_past import gather
from bayround.facts.problems import Refused
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.records import read_parts, read_season
from bayround.week import build, since
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _


def weeks_with_rounds(farm: OpenFarm) -> tuple[Week, ...]:
    """Return the weeks that hold a round, oldest first."""
    return tuple(sorted({Week.of(item.held_on) for item in read_parts.read_rounds(farm.store)}))


def newest_week(farm: OpenFarm) -> Week:
    """Return the newest week that holds a round.

    Raises:
        Refused: when the farm has no round yet.
    """
    weeks = weeks_with_rounds(farm)
    if not weeks:
        raise Refused(
            _("This farm has no round yet."), to_do=_("Key in a round first: open the farm and choose Visit.")
        )
    return weeks[-1]


def picture(farm: OpenFarm, week: Week | None, today: date) -> WeekSnapshot:
    """Return the week as a frozen value; without *week* the newest that holds a round.

    Raises:
        Refused: when *week* lies before the first or after the newest round and after today.
    """
    known = weeks_with_rounds(farm)
    chosen = week or newest_week(farm)
    if known and (chosen < known[0] or chosen > max(known[-1], Week.of(today))):
        raise Refused(
            _("There is no round in {week}.").format(week=chosen),
            to_do=_("Rounds are kept from {first} to {last}.").format(first=known[0], last=known[-1]),
        )
    return build.build(read_season.read_season(farm.store), farm.crops, chosen, today)


def week_to_work_in(farm: OpenFarm, today: date) -> Week:
    """Return the week of *today*, also one without a round; before the first round, the newest with one.

    Raises:
        Refused: when the farm has no round yet.
    """
    newest = newest_week(farm)
    this = Week.of(today)
    return this if this >= weeks_with_rounds(farm)[0] else newest


def to_work_by(farm: OpenFarm, snapshot: WeekSnapshot, today: date) -> WeekSnapshot:
    """Return a week with intervals and house faults as of *today*: what people who go in are shown."""
    if snapshot.as_of == today:
        return snapshot
    return since.up_to_today(snapshot, read_season.read_season(farm.store), today)


def work(farm: OpenFarm, week: Week | None, today: date) -> WeekSnapshot:
    """Return the week whose jobs are to be done (without *week*: today's), to work by.

    Raises:
        Refused: as `picture`.
    """
    return to_work_by(farm, picture(farm, week or week_to_work_in(farm, today), today), today)


def with_history(farm: OpenFarm, snapshot: WeekSnapshot) -> WeekSnapshot:
    """Return the same week with the earlier weeks that the workbook's charts show."""
    return build.with_earlier(snapshot, farm.crops)


def bay_season(farm: OpenFarm, bay_id: str, today: date) -> tuple[tuple[Week, Mapping[str, Figure]], ...]:
    """Return (week, figures) of every visit of the planting that stands in a bay, oldest first."""
    season = read_parts.read_bay(farm.store, bay_id)
    for past in gather(season, today):
        if past.bay.id == bay_id:
            return build.earlier_weeks(past, farm.crops, Week.of(today).plus(1), weeks_back=520)
    return ()
