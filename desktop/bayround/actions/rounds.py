"""Walk the bays: start a round, key a visit in, finish it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from bayround.actions import corrected_cells, forecasts, round_days
from bayround.actions.farm import OpenFarm
from bayround.facts.bay_past import BayPast, VisitRecord, gather
from bayround.facts.farm import Bay, House
from bayround.facts.ids import new_id, same_id
from bayround.facts.problems import Refused
from bayround.facts.rounds import (
    CardCount,
    DoubtAnswer,
    PestCheck,
    PlantState,
    Round,
    Visit,
    VisitState,
    WeedNote,
)
from bayround.facts.season import SeasonFacts
from bayround.facts.typed import Typed
from bayround.facts.visit import VisitFacts
from bayround.records import read_parts, read_visit, write_visit
from bayround.week import panel as week_panel
from bayround.week import visit_sheet
from bayround.week.visit_sheet import Panel, VisitSheet
from bayround.words import _

Seen = Typed | None  # what whoever types a draft had before the eyes; nothing: it is not compared


@dataclass(frozen=True, slots=True)
class WalkStop:
    """One bay on the walk of a round, with the state of its visit (none: not begun).

    *done_on*, *done_by*: day and scout of a finished visit of the same week in another round.
    """

    house: House
    bay: Bay
    crop: str
    marked_plants: int
    visit_id: str | None
    state: VisitState | None
    done_on: date | None = None
    done_by: str = ""

    @property
    def is_to_do(self) -> bool:
        """Whether nobody visited the bay in this week."""
        return self.state is None and self.done_on is None


def rounds(farm: OpenFarm) -> tuple[Round, ...]:
    """Return all rounds, newest first."""
    found = read_parts.read_rounds(farm.store)
    return tuple(sorted(found, key=lambda item: (item.held_on, item.id), reverse=True))


def start_round(
    farm: OpenFarm, held_on: date, scout_id: str, note: str = "", today: date | None = None
) -> Round:
    """Begin a round on a day with a scout.

    Raises:
        Refused: when the day lies after *today*.
    """
    round_days.refuse_future(held_on, today)
    return write_visit.start_round(farm.store, Round(new_id(), held_on, scout_id, note))


def walk(farm: OpenFarm, round_id: str) -> tuple[WalkStop, ...]:
    """Return the bays of a round in walk order; bays without a crop that day are left out."""
    this_round = _round(farm, round_id)
    visits = {visit.bay_id: visit for visit in read_parts.read_round_visits(farm.store, round_id)}
    season = read_parts.read_setup(farm.store)
    elsewhere = round_days.done_elsewhere(farm, this_round)
    names = {person.id: person.name for person in season.people}
    stops = []
    for past in gather(season, this_round.held_on):
        if past.planting is None:
            continue
        visit, other = visits.get(past.bay.id), elsewhere.get(past.bay.id)
        stops.append(
            WalkStop(
                house=past.house,
                bay=past.bay,
                crop=past.planting.crop,
                marked_plants=len(past.plants_on(this_round.held_on)),
                visit_id=visit.id if visit else None,
                state=visit.state if visit else None,
                done_on=other.visited_on if other else None,
                done_by=names.get(other.scout_id, "") if other else "",
            )
        )
    return tuple(stops)


def open_visit(farm: OpenFarm, round_id: str, bay_id: str, now: datetime) -> VisitSheet:
    """Begin (or take up again) the visit of one bay in a round and return its sheet."""
    sheet = sheet_to_open(farm, round_id, bay_id, now)
    kept = begin(farm, sheet.visit)
    return sheet if kept == sheet.visit.id else read_sheet(farm, kept)


def sheet_to_open(farm: OpenFarm, round_id: str, bay_id: str, now: datetime) -> VisitSheet:
    """Return the sheet of one bay in a round; a visit that was not begun yet is not written (see `begin`).

    Raises:
        Refused: when no crop stands in the bay on the day of the round.
    """
    this_round = _round(farm, round_id)
    begun_already = read_parts.read_round_visits(farm.store, round_id)
    known = next((item for item in begun_already if item.bay_id == bay_id), None)
    if known is not None:
        return read_sheet(farm, known.id)
    past = _past_of(read_parts.read_bay(farm.store, bay_id), bay_id, this_round.held_on)
    if past.planting is None:
        raise Refused(
            _("No crop stands in this bay on {day}.").format(day=this_round.held_on.isoformat()),
            to_do=_("Enter its planting under Farm first."),
        )
    blank = Visit(
        id=same_id(round_id, bay_id) if farm.shared else new_id(),  # two who open it begin one visit
        round_id=round_id,
        bay_id=bay_id,
        planting_id=past.planting.id,
        visited_on=this_round.held_on,
        scout_id=this_round.scout_id,
        started_at=now,
    )
    return _sheet(farm, past, VisitFacts(blank))


def begin(farm: OpenFarm, visit: Visit) -> str:
    """Write the visit of a sheet that was opened, with the first thing kept in it, and return under which id it is kept.

    Begun already, nothing changes: an import, a merge or somebody else may have begun the bay under another id.
    """
    return write_visit.start_visit(farm.store, visit).id


def read_sheet(farm: OpenFarm, visit_id: str, blank: Visit | None = None) -> VisitSheet:
    """Return the sheet of a visit as it stands in the file; *blank*: a visit that may not be begun yet."""
    seen = _seen(farm, visit_id, blank)
    season = read_parts.read_bay(farm.store, seen.visit.bay_id)
    past = _past_of(season, seen.visit.bay_id, seen.visit.visited_on)
    return replace(_sheet(farm, past, seen), corrected=corrected_cells.of_visit(seen, season))


def read_panel(farm: OpenFarm, visit_id: str, blank: Visit | None = None) -> Panel:
    """Return the side panel of a visit as it stands in the file, draft or done; *blank* as for `read_sheet`."""
    seen = _seen(farm, visit_id, blank)
    past = _past_of(
        read_parts.read_bay(farm.store, seen.visit.bay_id), seen.visit.bay_id, seen.visit.visited_on
    )
    return week_panel.build(past, replace(_record(seen), aside=past.aside), farm.crops)


def save_cell(
    farm: OpenFarm, visit_id: str, marked_plant_id: str, field: str, value: float | None, typed: Seen = None
) -> None:
    """Keep one cell, in a transaction of its own. Draft visits only.

    Raises:
        TypedMeanwhile: here and in all that save a draft: somebody else typed another value than *typed* saw.
    """
    write_visit.save_cell(farm.store, visit_id, marked_plant_id, field, value, typed)


def save_cells(
    farm: OpenFarm, visit_id: str, cells: Sequence[tuple[str, str, float | None]], typed: Seen = None
) -> None:
    """Keep a pasted block of (marked plant, field, value) in one transaction: all of it or none."""
    write_visit.save_cells(farm.store, visit_id, cells, typed)


def save_plant_state(
    farm: OpenFarm, visit_id: str, marked_plant_id: str, state: PlantState, typed: Typed | None = None
) -> None:
    """Mark a plant as standing, skipped or dead at this visit."""
    write_visit.save_plant_state(farm.store, visit_id, marked_plant_id, state, typed)


def save_check(farm: OpenFarm, check: PestCheck, typed: Typed | None = None) -> None:
    """Keep one pest or disease row (new or changed)."""
    write_visit.save_check(farm.store, check, typed)


def save_card(farm: OpenFarm, card: CardCount, typed: Typed | None = None) -> None:
    """Keep one sticky card (new or changed)."""
    write_visit.save_card(farm.store, card, typed)


def save_weed(farm: OpenFarm, note: WeedNote, typed: Typed | None = None) -> None:
    """Keep one weed note (new or changed)."""
    write_visit.save_weed(farm.store, note, typed)


def remove_check(farm: OpenFarm, check_id: str, person_id: str | None, now: datetime) -> None:
    """Take a pest or disease row out of a draft; what it said stays in the history."""
    write_visit.remove_check(farm.store, check_id, person_id, now)


def remove_card(farm: OpenFarm, card_id: str, person_id: str | None, now: datetime) -> None:
    """Take a sticky card out of a draft; what it said stays in the history."""
    write_visit.remove_card(farm.store, card_id, person_id, now)


def remove_weed(farm: OpenFarm, weed_id: str, person_id: str | None, now: datetime) -> None:
    """Take a weed note out of a draft; what it said stays in the history."""
    write_visit.remove_weed(farm.store, weed_id, person_id, now)


def save_note(farm: OpenFarm, visit_id: str, note: str, typed: Typed | None = None) -> None:
    """Keep the visit's note."""
    write_visit.save_visit_note(farm.store, visit_id, note, typed)


def let_stand(farm: OpenFarm, answer: DoubtAnswer) -> None:
    """Remember that a doubtful value was looked at again and is right."""
    write_visit.answer_doubt(farm.store, answer)


def finish(farm: OpenFarm, visit_id: str, now: datetime) -> None:
    """Finish a visit and keep the picks foreseen at it, both or neither; from now on only corrections change it.

    A planting that was visited before on that day keeps what was foreseen first.

    Raises:
        Refused: when nothing was keyed in: a blank sheet is no visit.
    """
    seen = read_visit.read_visit(farm.store, visit_id)
    if not _record(seen).holds_anything:
        raise nothing_keyed()
    past = _past_of(
        read_parts.read_bay(farm.store, seen.visit.bay_id), seen.visit.bay_id, seen.visit.visited_on
    )
    kept = {(said.made_on, said.for_week) for said in past.forecasts}
    foreseen = forecasts.of_visit(past, _record(seen), farm.crops)
    added = [said for said in foreseen if (said.made_on, said.for_week) not in kept]
    write_visit.finish_visit(farm.store, visit_id, now, added)


def nothing_keyed() -> Refused:
    """Return why a blank sheet is not finished."""
    return Refused(
        _("Nothing was keyed in for this bay, so it is no visit."),
        to_do=_("Key something in (a note is enough), or go on to another bay: it stays on the walk."),
    )


def _round(farm: OpenFarm, round_id: str) -> Round:
    found = next((item for item in read_parts.read_rounds(farm.store) if item.id == round_id), None)
    if found is None:
        raise Refused(_("This round is not in the farm file."))
    return found


def _seen(farm: OpenFarm, visit_id: str, blank: Visit | None) -> VisitFacts:
    try:
        return read_visit.read_visit(farm.store, visit_id)
    except KeyError:
        if blank is None:
            raise
        return VisitFacts(blank)


def _past_of(season: SeasonFacts, bay_id: str, until: date) -> BayPast:
    for past in gather(season, until):
        if past.bay.id == bay_id:
            return past
    raise Refused(_("This bay is not in use on {day}.").format(day=until.isoformat()))


def _record(seen: VisitFacts) -> VisitRecord:
    readings = {reading.marked_plant_id: reading for reading in seen.readings}
    return VisitRecord(
        seen.visit, readings, seen.pest_checks, seen.card_counts, seen.weed_notes, seen.doubt_answers
    )


def _sheet(farm: OpenFarm, past: BayPast, seen: VisitFacts) -> VisitSheet:
    if past.planting is None or past.planting.id != seen.visit.planting_id:
        raise Refused(_("The planting of this visit no longer stands in the bay."))
    profile = farm.crops.profile(past.planting.crop)
    return visit_sheet.build(past, _record(seen), profile, farm.crops.organisms)
