"""One bay's season on one line of time: visits with their figures and decisions, picks, forecasts, ties, events."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bayround import words
from bayround.crops import Crops
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.facts.kept import Forecast
from bayround.facts.weeks import Week
from bayround.figures import fruit, heights, pest_verdicts, pests, pick_page, picks, weeds
from bayround.figures.figure import Figure, Why
from bayround.figures.pest_verdicts import Decision
from bayround.week.season_events import Event, events_of
from bayround.week.snapshot import BayWeek
from bayround.words import _

FIGURES = ("height_cm", "fruit_per_m2", "incidence_percent", "weed_cover_percent", "picked_kg_week")
"""The figures of the line, each a chart of its own."""

_STRONGEST = (Decision.ACT, Decision.LOOK_MORE, Decision.CANNOT_TELL, Decision.LEAVE, Decision.NO_THRESHOLD)


@dataclass(frozen=True, slots=True)
class VisitPoint:
    """One week's newest visit: its figures, and what the checks said to do (empty where nothing was checked)."""

    week: Week
    day: date
    figures: Mapping[str, Figure]
    decision: str = ""
    organism: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class PickWeek:
    """What was picked in one week, what had been foreseen for it a week before, and what is foreseen now (kg)."""

    week: Week
    picked: Figure | None = None
    said: Figure | None = None
    coming: Figure | None = None


@dataclass(frozen=True, slots=True)
class NextTie:
    """The day on which the next tie is due, with the earliest and the latest, and the figure behind it."""

    day: date
    first: date
    last: date
    figure: Figure


@dataclass(frozen=True, slots=True)
class SeasonLine:
    """All that the time line of one planting shows; days in order of time."""

    visits: tuple[VisitPoint, ...] = ()
    picks: tuple[PickWeek, ...] = ()
    tie: NextTie | None = None
    events: tuple[Event, ...] = ()

    def weeks(self) -> tuple[Week, ...]:
        """Return every week in which there is something to read, oldest first."""
        found = {point.week for point in self.visits} | {one.week for one in self.picks}
        if self.tie is not None:
            found.add(Week.of(self.tie.day))
        return tuple(sorted(found | {Week.of(event.start) for event in self.events}))

    def visit_in(self, week: Week) -> VisitPoint | None:
        """Return the visit of a week."""
        return next((point for point in self.visits if point.week == week), None)

    def picks_in(self, week: Week) -> PickWeek | None:
        """Return the picks of a week."""
        return next((one for one in self.picks if one.week == week), None)

    def events_in(self, week: Week) -> tuple[Event, ...]:
        """Return the events that touch a week."""
        return tuple(
            event for event in self.events if event.start <= week.sunday and week.monday <= event.last
        )


def build(now: BayWeek, crops: Crops) -> SeasonLine:
    """Return the time line of the planting that stands in a bay, as known on the day of *now*."""
    past = now.past
    if past.planting is None:
        return SeasonLine()
    profile = crops.profile(past.planting.crop)
    newest = {Week.of(record.day): place for place, record in enumerate(past.visits)}
    return SeasonLine(
        visits=tuple(_visit_point(past, place, profile, crops) for place in newest.values()),
        picks=_picks(past, profile),
        tie=_tie(now),
        events=events_of(past, now.as_of),
    )


def _visit_point(past: BayPast, place: int, profile: CropProfile, crops: Crops) -> VisitPoint:
    record = past.visits[place]
    figures = (
        heights.height_figure(record, past.planting.plants if past.planting else None),
        fruit.load_figure(past, record),
        pests.worst_figure(record, crops.organisms),
        weeds.figures(record)["weed_cover_percent"],
    )
    decided = _decision(record, profile, crops)
    return VisitPoint(Week.of(record.day), record.day, {figure.id: figure for figure in figures}, *decided)


def _decision(record: VisitRecord, profile: CropProfile, crops: Crops) -> tuple[str, str, str]:
    """Return the strongest thing a visit's checks said to do, for which organism, and why."""
    found = pest_verdicts.verdicts(record, profile, crops.organisms)
    if not found:
        return "", "", ""
    first = min(found, key=lambda one: (_STRONGEST.index(one.decision), not one.urgent, -one.infested))
    return first.decision.value, _(first.organism.name), first.reason


def _picks(past: BayPast, profile: CropProfile) -> tuple[PickWeek, ...]:
    by_week: dict[Week, PickWeek] = {}
    for week, figure in _picked(past):
        by_week[week] = PickWeek(week, picked=figure)
    for week, said in _said_before(past):
        by_week[week] = replace(by_week.get(week, PickWeek(week)), said=said)
    for line in pick_page.lines(past, profile):
        by_week[line.week] = replace(by_week.get(line.week, PickWeek(line.week)), coming=line.kg)
    return tuple(by_week[week] for week in sorted(by_week))


def _picked(past: BayPast) -> Iterator[tuple[Week, Figure]]:
    """Yield every week from the first pick to the last with what was picked in it."""
    if not past.picks:
        return
    by_week: dict[Week, list[int]] = {}
    for place, pick in enumerate(past.picks):
        by_week.setdefault(Week.of(pick.picked_on), []).append(place)
    week, last = min(by_week), max(by_week)
    while week <= last:
        only = tuple(past.picks[place] for place in by_week.get(week, ()))
        yield week, picks.picked(replace(past, picks=only), week.sunday)["picked_kg_week"]
        week = week.plus(1)


def _said_before(past: BayPast) -> Iterator[tuple[Week, Figure]]:
    """Yield what had been foreseen for a week in the week before it, as it was said then."""
    for said in past.forecasts:
        week = Week.parse(said.for_week)
        if Week.of(said.made_on).plus(1) == week:
            yield week, _kept_figure(said, week)


def _kept_figure(said: Forecast, week: Week) -> Figure:
    rule = _("What was foreseen a week before, as it was kept then.")
    why = Why(rule, ((_("Said on"), words.day(said.made_on)),), picks.FORECAST_SOURCE, "published")
    label = _("Foreseen for {week}").format(week=week)
    return Figure(
        "foreseen_kg_week", label, said.kg, "kg", 0, why, low=said.kg_low, high=said.kg_high, level=said.level
    )


def _tie(now: BayWeek) -> NextTie | None:
    """Return the day of the next tie; nothing where no date can be given."""
    figure, latest = now.latest.get("days_to_tie"), now.past.latest
    if figure is None or figure.value is None or latest is None:
        return None
    day = latest.day + timedelta(days=round(figure.value))
    first = day if figure.low is None else latest.day + timedelta(days=int(figure.low))
    last = day if figure.high is None else latest.day + timedelta(days=min(365, round(figure.high)))
    return NextTie(day, min(first, day), max(last, day), figure)
