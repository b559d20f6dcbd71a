"""Build the WeekSnapshot: pure, same facts in, same week out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from bayround import words
from bayround.crops import Crops
from bayround.facts.bay_past import BayPast, VisitRecord, gather
from bayround.facts.rounds import PlantState, VisitState
from bayround.facts.season import SeasonFacts
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind
from bayround.figures import labour
from bayround.jobs import due_jobs, house_fault, inside, intervals
from bayround.jobs.job import in_order
from bayround.week import bay_figures, corrected, inside_words, since, totals
from bayround.week.earlier import EarlierWeeks, earlier_weeks
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.words import _

__all__ = ["WEEKS_IN_WORKBOOK", "build", "earlier_weeks", "with_earlier"]

WEEKS_IN_WORKBOOK = 12
"""How many earlier weeks the workbook's charts show."""


def build(season: SeasonFacts, crops: Crops, week: Week, today: date) -> WeekSnapshot:
    """Return the whole farm in *week* as it was known on its last day (today, while it runs)."""
    as_of = min(today, week.sunday) if today >= week.monday else week.sunday
    people = {person.id: person.name for person in season.people}
    pasts = gather(season, as_of, whole_week=True)
    rates = labour.learned(pasts, crops)
    told = inside.of_farm(season, as_of)
    bays = tuple(
        replace(one, warnings=one.warnings + inside_words.of_bay(one.past, told))
        for one in (_bay_week(past, crops, week, as_of, people, rates) for past in pasts)
    )
    own_close = corrected.close_of(season.week_closes, week)
    known = tuple(sorted({Week.of(item.held_on) for item in season.rounds if item.held_on <= as_of}))
    return WeekSnapshot(
        farm=season.farm,
        week=week,
        as_of=as_of,
        revision=season.farm.revision,
        bays=bays,
        totals=totals.totals(bays) | totals.workload(bays, season.people),
        jobs=in_order([job for bay_week in bays for job in bay_week.jobs]),
        people=season.people,
        warnings=_warnings(season, bays, week)
        + inside_words.of_farm(pasts, told)
        + since.warnings(season, as_of, today),
        weeks_with_rounds=known,
        earlier=EarlierWeeks(pasts, crops, week, 1),
        looked_on=today,
        corrections=len(season.corrections),
        chain_head=season.corrections[-1].chain if season.corrections else "",
        corrected=corrected.to_tell(season, week),
        corrected_since=corrected.in_words(season, corrected.since(season, own_close)) if own_close else (),
        closes=season.week_closes,
    )


def with_earlier(snapshot: WeekSnapshot, crops: Crops, weeks_back: int = WEEKS_IN_WORKBOOK) -> WeekSnapshot:
    """Return the same week with the figures of more earlier weeks beside it, for charts."""
    pasts = tuple(seen.past for seen in snapshot.bays)
    return replace(snapshot, earlier=EarlierWeeks(pasts, crops, snapshot.week, weeks_back))


def _bay_week(
    past: BayPast, crops: Crops, week: Week, as_of: date, people: Mapping[str, str], rates: labour.Rates
) -> BayWeek:
    latest = bay_figures.all_figures(past, crops, as_of)
    removed = past.planting is not None and not past.planting.stands_on(as_of)
    working = replace(past, planting=None, visits=()) if removed else past
    visit = past.visit_in(week)
    if visit is None and past.latest is not None:
        latest = bay_figures.of_visit_on(latest, past.latest.day)
    if past.planting is None:
        reason = _("No crop stands in this bay.")
    elif past.latest is None:
        reason = _("Never visited.")
    else:
        reason = _("Not visited this week; last visit {day}.").format(day=words.day(past.latest.day))
    return BayWeek(
        past=past,
        week=week,
        as_of=as_of,
        visit=visit,
        figures=bay_figures.of_week(latest, visit is not None, reason),
        latest=latest,
        jobs=due_jobs(working, latest, crops, as_of, people, rates),
        scout=people.get(visit.visit.scout_id, "") if visit else "",
        crop_name=_(crops.profile(past.planting.crop).name) if past.planting else "",
        warnings=_dead_plants(past, visit) + house_fault.warnings(past),
        clocks=intervals.clocks(past.treatments, as_of),
        house_closed=house_fault.blocks(JobKind.ROUND, past.house_checks),
    )


def _dead_plants(past: BayPast, visit: VisitRecord | None) -> tuple[str, ...]:
    """Return a warning when marked plants were found dead: the figures per m² take all plants as standing."""
    if visit is None or past.planting is None:
        return ()
    dead = sum(1 for reading in visit.readings.values() if reading.state is PlantState.DEAD)
    if not dead or any(count.counted_on >= visit.day for count in past.stand_counts):
        return ()
    found = words.counted("{n} marked plant was found dead", "{n} marked plants were found dead", dead)
    counted = _("the figures per m² still take {plants} plants as standing.").format(
        plants=past.planting.plants
    )
    return (f"{found}; {counted}",)


def _warnings(season: SeasonFacts, bays: tuple[BayWeek, ...], week: Week) -> tuple[str, ...]:
    names = {seen.bay.id: f"{seen.house.name} · {seen.bay.name}" for seen in bays}
    drafts = [
        names.get(visit.bay_id, visit.bay_id)
        for visit in season.visits
        if visit.state is VisitState.DRAFT and Week.of(visit.visited_on) == week
    ]
    found = []
    if drafts:
        found.append(_("Not finished yet, so not counted: {bays}.").format(bays=words.listing(drafts)))
    found += dict.fromkeys(warning for seen in bays for warning in house_fault.warnings(seen.past))
    return tuple(found)
