"""Write down what was applied, where and when, and put it right with a reason. No product or dose is ever proposed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime, time, timedelta

from bayround import words
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.actions.treatment_checks import (
    MOST_DAYS,
    MOST_HOURS,
    doubt_of_night,
    refuse_impossible,
    tidied,
)
from bayround.facts.farm import Bay, Person
from bayround.facts.ids import new_id
from bayround.facts.moments import earlier_instant_of, instant_of, local_day, start_of_day
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.work import Correction, Treatment, TreatmentBay
from bayround.jobs import intervals, mode_of_action
from bayround.records import corrections, history, read_work, write_work
from bayround.records.corrections import Change
from bayround.words import _

__all__ = [
    "CAUTIONS", "MOST_DAYS", "MOST_HOURS", "TreatedBays", "TreatmentBook", "clock_words", "correct",
    "doubt_of_night", "ended_at", "read", "record", "repeated_group", "repeated_in", "started_at", "tidied",
]  # fmt: skip

CAUTIONS = (
    "The product label and local law decide; this record does not authorise any treatment.",
    "Go in only after the re-entry interval is over and the house is aired and the leaves are dry; earlier only as "
    "the label allows and with the protective equipment it names. Of several products the later moment counts.",
    "An interval that is not known counts as not safe: leave it empty and look at the label. "
    "Fruit sold abroad may have to meet other residue limits.",
    "Protect bees and released natural enemies; keep people and spray drift apart; keep records as long as local "
    "rules say.",
)


@dataclass(frozen=True, slots=True)
class TreatedBays:
    """One treatment with its bays and what follows from it, in words.

    *clocks*: until when each interval runs; *repeated*: mode-of-action groups used again; *history*:
    corrections made to it.
    """

    treatment: Treatment
    bays: tuple[str, ...]
    bay_ids: tuple[str, ...]
    applied_by: str
    enter_from: str
    pick_from: str
    repeated: tuple[str, ...] = ()
    history: tuple[str, ...] = ()

    @property
    def bays_text(self) -> str:
        """The bays in one line, house by house."""
        houses: dict[str, list[str]] = {}
        for name in self.bays:
            house, _between, bay = name.partition(" · ")
            houses.setdefault(house, []).append(bay)
        return "; ".join(f"{house}: {', '.join(bays)}" for house, bays in houses.items())


@dataclass(frozen=True, slots=True)
class TreatmentBook:
    """All treatments, newest first, and what a new one is chosen from."""

    treatments: tuple[TreatedBays, ...]
    bays: tuple[tuple[Bay, str], ...]
    people: tuple[Person, ...]
    targets: tuple[tuple[str, str], ...]
    """(key, name) of the organisms the farm knows."""
    season: SeasonFacts


def read(farm: OpenFarm, today: date) -> TreatmentBook:
    """Return all treatments, newest first; bays in walk order."""
    season = read_work.read_treatments(farm.store)
    names = _bay_names(season)
    bays_of = _bays_of(season)
    people = {person.id: person.name for person in season.people}
    found = [_shown(season, item, bays_of, names, people) for item in season.treatments]
    found.sort(key=lambda one: (one.treatment.ended_at, one.treatment.id), reverse=True)
    in_use = [bay for bay in season.bays if bay.retired_on is None or bay.retired_on > today]
    organisms = farm.crops.organisms.values()
    return TreatmentBook(
        treatments=tuple(found),
        bays=tuple((bay, names[bay.id]) for bay in walk_order(season.houses, in_use)),
        people=season.people,
        targets=tuple(sorted(((one.key, one.name) for one in organisms), key=lambda pair: pair[1])),
        season=season,
    )


def ended_at(day: date, at: time) -> datetime:
    """Return the instant of a local day and time; where clocks showed it twice, the later one."""
    return instant_of(day, at)


def started_at(day: date, at: time, ended: datetime) -> datetime:
    """Return the instant at which clocks showed *at* last before a treatment ended, by its day of ending.

    Where clocks showed it twice: the earlier one, so that no minute of the treatment is left out.
    """
    found = earlier_instant_of(day, at)
    return found if found <= ended else earlier_instant_of(day - timedelta(days=1), at)


def record(farm: OpenFarm, treatment: Treatment, bay_ids: Sequence[str], moment: Moment) -> Treatment:
    """Write a treatment down with the bays it covered.

    Raises:
        Refused: when it can't be right: nothing named, no bay, in the future, an interval below 0 or endless.
    """
    refuse_impossible(treatment, moment.now)
    write_work.add_treatment(farm.store, treatment, bay_ids)
    return treatment


def correct(
    farm: OpenFarm,
    before: Treatment,
    after: Treatment,
    moment: Moment,
    reason: str,
    bay_ids: Sequence[str] | None = None,
) -> tuple[Correction, ...]:
    """Put a treatment right; each change keeps what was, who, when and why.

    Args:
        bay_ids: the bays it really covered, when they change: bays that were left out are added, a bay that
            was written down by mistake is taken out. Without it the bays stay.

    Raises:
        Refused: without a reason, without a bay, or when the new values can't be right.
        Overtaken: when somebody else changed it since *before* was read.
    """
    refuse_impossible(after, moment.now)
    changed = {
        one.name: getattr(after, one.name)
        for one in fields(Treatment)
        if getattr(after, one.name) != getattr(before, one.name)
    }
    wanted = [] if not changed else [
        Change("treatment", before.id, changed, {name: getattr(before, name) for name in changed})
    ]  # fmt: skip
    late: list[TreatmentBay] = []
    if bay_ids is not None:
        links = read_work.read_covered(farm.store, before.id)
        wanted += _moved(links, bay_ids)
        known = {link.bay_id for link in links}
        late = [TreatmentBay(new_id(), before.id, bay_id) for bay_id in bay_ids if bay_id not in known]
    if not wanted and not late:
        return ()
    return corrections.correct_all(farm.store, wanted, moment.person_id, moment.now, reason, late)


def _moved(links: Sequence[TreatmentBay], bay_ids: Sequence[str]) -> list[Change]:
    """Return the bays that are taken out or put in again."""
    if not bay_ids:
        raise Refused(
            _("A treatment covered at least one bay."),
            _("Nothing was changed."),
            _(
                "Tick the bays that were treated; if none was, say so in its note: what is written down stays."
            ),
        )
    return [
        Change("treatment_bay", link.id, {"taken_out": out}, {"taken_out": link.taken_out})
        for link in links
        if (out := link.bay_id not in bay_ids) is not link.taken_out
    ]


def repeated_group(
    farm: OpenFarm, group: str, bay_ids: Sequence[str], ended: datetime, but: str = ""
) -> tuple[str, ...]:
    """Return in words on which bays a mode-of-action group was used before on the crop that stands there.

    *but* is the id of a treatment that does not count (the one that is being put right).
    """
    return repeated_in(read_work.read_treatments(farm.store), group, bay_ids, ended, but)


def clock_words(treatment: Treatment) -> tuple[str, str]:
    """Return from when people may go in and from when fruit may be picked after this treatment alone."""
    alone = intervals.clocks([treatment], local_day(treatment.ended_at))
    unknown = bool(alone.unknown_re_entry)
    return (
        _until(alone.re_entry_from, unknown),
        _until(alone.pick_from, unknown or bool(alone.unknown_pre_harvest)),
    )


def _shown(
    season: SeasonFacts,
    item: Treatment,
    bays_of: dict[str, list[str]],
    names: dict[str, str],
    people: dict[str, str],
) -> TreatedBays:
    ids = [bay_id for bay_id in names if bay_id in set(bays_of.get(item.id, ()))]
    enter_from, pick_from = clock_words(item)
    links = {link.id: names[link.bay_id] for link in season.treatment_bays if link.treatment_id == item.id}
    return TreatedBays(
        treatment=item,
        bays=tuple(names[bay_id] for bay_id in ids),
        bay_ids=tuple(ids),
        applied_by=people.get(item.applied_by_id or "", ""),
        enter_from=enter_from,
        pick_from=pick_from,
        repeated=repeated_in(season, item.mode_of_action_group, ids, item.ended_at, item.id),
        history=tuple(
            _told(entry, people, links)
            for entry in season.corrections
            if entry.row_id == item.id or f'"{item.id}"' in entry.after or entry.row_id in links
        ),
    )


def _until(end: datetime | None, unknown: bool) -> str:
    if unknown:
        return _("not known: look at the label")
    return intervals.moment_text(end) if end is not None else _("no interval given")


def _told(entry: Correction, people: dict[str, str], links: dict[str, str]) -> str:
    if entry.row_id in links:
        added = entry.field == history.ADDED or entry.after == "no"
        what = _("{bay} was added") if added else _("{bay} was taken out")
        what = what.format(bay=links[entry.row_id])
    else:
        what = _("{field}: “{before}” became “{after}”").format(
            field=entry.field.replace("_", " "), before=entry.before, after=entry.after
        )
    who = people.get(entry.person_id or "", "")
    return " · ".join(
        part for part in (words.day(local_day(entry.corrected_at)), what, who, entry.reason) if part
    )


def repeated_in(
    season: SeasonFacts, group: str, bay_ids: Sequence[str], ended: datetime, but: str = ""
) -> tuple[str, ...]:
    """Like `repeated_group`, from facts that were read already."""
    if not mode_of_action.groups(group):
        return ()
    names, by_id = _bay_names(season), {item.id: item for item in season.treatments}
    day = local_day(ended)
    since = {
        planting.bay_id: start_of_day(planting.transplanted_on)
        for planting in season.plantings
        if planting.stands_on(day)
    }
    found: list[str] = []
    for bay_id in bay_ids:
        earlier = [
            by_id[link.treatment_id]
            for link in season.covered
            if link.bay_id == bay_id and link.treatment_id != but
        ]
        found += mode_of_action.repeated(names[bay_id], group, ended, earlier, since.get(bay_id))
    return tuple(found)


def _bay_names(season: SeasonFacts) -> dict[str, str]:
    houses = {house.id: house.name for house in season.houses}
    return {bay.id: f"{houses[bay.house_id]} · {bay.name}" for bay in walk_order(season.houses, season.bays)}


def _bays_of(season: SeasonFacts) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for link in season.covered:
        found.setdefault(link.treatment_id, []).append(link.bay_id)
    return found
