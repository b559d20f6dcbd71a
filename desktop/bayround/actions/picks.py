"""Write down what was picked, bay by bay, and put it right with a reason.

A pick inside an interval, or in a house that nobody may enter, is refused unless somebody writes why; that is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from bayround import words
from bayround.actions import explaining
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickChange, PickDay, PickEntry, PickLine
from bayround.crops import Crops
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.farm import ColourAim
from bayround.facts.ids import new_id
from bayround.facts.moments import instant_of
from bayround.facts.problems import Refused, Stopped, TwiceTheSame
from bayround.facts.season import SeasonFacts
from bayround.facts.work import Explanation, JobKind, Pick
from bayround.figures import picks as pick_figures
from bayround.figures import picks_done
from bayround.figures.figure import Figure, Why
from bayround.jobs import house_fault, inside, intervals
from bayround.records import corrections, read_work, write_setup
from bayround.records.corrections import Change
from bayround.words import _

USUAL_GRADES = ("first", "second")
MOST_KG_PER_M2 = 30.0
"""No bay yields this in one pick (a good crop's whole season is less); more is a slip."""

AREA_BASIS = "Per m² of gross area: length × width of the bay."


def read_day(farm: OpenFarm, day: date) -> PickDay:
    """Return the bays with a crop on a day and what was picked on it."""
    season = _with_last_day(read_work.read_picks(farm.store, day), day)
    lines = [
        _line(past, farm.crops, day, season.explanations)
        for past in gather(season, day)
        if past.planting is not None
    ]
    every = [pick for line in lines for pick in line.past.picks]
    today = [pick for line in lines for pick in line.picked]
    kg = sum(pick.kg for pick in today)
    inputs = (
        (_("Picks written down"), str(len(today))),
        (_("Bays"), str(len({pick.bay_id for pick in today}))),
    )
    total = Figure(
        "picked_kg_day",
        _("Picked on {day}").format(day=words.weekday_day(day)),
        kg,
        "kg",
        1,
        Why(_("Sum of the kilograms written down for the day."), inputs),
        n=len(today),
    )
    grades = dict.fromkeys([*USUAL_GRADES, *sorted({pick.grade for pick in every if pick.grade})])
    colours = sorted({pick.colour for pick in every if pick.colour} | {aim.value for aim in ColourAim})
    ids = {pick.id for pick in today}
    return PickDay(
        day=day,
        lines=tuple(lines),
        grades=tuple(grades),
        colours=tuple(colours),
        people=season.people,
        total=total,
        history=tuple(entry for entry in season.corrections if entry.row_id in ids),
    )


def stopped_by(line: PickLine, day: date, began: time | None = None) -> tuple[str, ...]:
    """Return in words why a bay may not be picked, judged when picking began; without a time, all day long."""
    past, whole_day = line.past.treatments, intervals.what_blocks
    found = whole_day(JobKind.PICK, past, day) if began is None else (
        intervals.stops(JobKind.PICK, past, instant_of(day, began))
    )  # fmt: skip
    return found + house_fault.blocks(JobKind.PICK, line.past.house_checks)


def record(
    farm: OpenFarm,
    day: date,
    bay_id: str,
    entries: Sequence[PickEntry],
    moment: Moment,
    *,
    picked_by_id: str | None = None,
    began: time | None = None,
    explanation: str = "",
    changes: Sequence[PickChange] = (),
    reason: str = "",
    again: bool = False,
    over_before: bool = False,
) -> tuple[Pick, ...]:
    """Write down one bay's picks of a day and put earlier ones right, all of it or nothing.

    Args:
        began: local time at which picking began; without it the whole day has to be free.
        explanation: why it was picked although something stops it; kept with every new pick.
        changes: picks kept before; their earlier numbers stay in the history with *reason*.
        again: keep a pick although the same one is written down for that day already.
        over_before: somebody said that picking was over before a treatment that began later that day.

    Returns:
        The new picks.

    Raises:
        Stopped: stopped and no explanation given. TwiceTheSame: written down already, and not *again*.
        Refused: an impossible number; a change without a reason.
        Overtaken: when somebody else changed a pick since it was read.
    """
    line = next((one for one in read_day(farm, day).lines if one.bay_id == bay_id), None)
    if line is None:
        raise Refused(_("No crop stands in this bay on {day}.").format(day=words.day(day)))
    for change in changes:
        _refuse_impossible(line, change.kg, change.fruit, allow_nothing=True)
    if not again:
        _refuse_twice(line, day, entries)
    made = planned(
        line, day, entries, moment, picked_by_id=picked_by_id, began=began, explanation=explanation
    )
    treatments = line.past.treatments
    kept: tuple[Pick | Explanation, ...] = (*made, *explaining.of_new_picks(
        made, treatments, explanation, over_before, moment.now, moment.person_id
    ))  # fmt: skip
    if changes:
        put_right = [_change(one) for one in changes]
        corrections.correct_all(farm.store, put_right, moment.person_id, moment.now, reason, beside=kept)
    else:
        write_setup.add(farm.store, *kept)
    return made


def planned(
    line: PickLine,
    day: date,
    entries: Sequence[PickEntry],
    moment: Moment,
    *,
    picked_by_id: str | None = None,
    began: time | None = None,
    explanation: str = "",
) -> tuple[Pick, ...]:
    """Return the picks of one bay as `record` would write them down, or refuse them as it does."""
    _refuse_future(day, began, moment)
    for entry in entries:
        _refuse_impossible(line, entry.kg, entry.fruit)
    stopped = _allowed(line, day, began, explanation) if entries else ()
    note = _note(began, stopped, explanation)
    return tuple(
        Pick(
            new_id(), line.bay_id, line.planting_id, day, entry.kg, entry.fruit, entry.grade.strip(),
            entry.colour.strip(), picked_by_id, note, None if began is None else instant_of(day, began),
        )
        for entry in entries
    )  # fmt: skip


def _refuse_twice(line: PickLine, day: date, entries: Sequence[PickEntry]) -> None:
    for entry in entries:
        same = (entry.kg, entry.fruit, entry.grade.strip().casefold(), entry.colour.strip().casefold())
        if any(
            (one.kg, one.fruit, one.grade.casefold(), one.colour.casefold()) == same for one in line.picked
        ):
            raise TwiceTheSame(
                _("{bay}, {day}: a pick of {kg} kg of this grade and colour is written down already.").format(
                    bay=line.name, day=words.day(day), kg=words.number(entry.kg, 1)
                ),
                _("Nothing was written down."),
                _("If there were two picks alike, say so and it is kept beside the first."),
            )


def _change(one: PickChange) -> Change:
    seen = {"kg": one.before.kg, "fruit": one.before.fruit}
    return Change("pick", one.before.id, {"kg": one.kg, "fruit": one.fruit}, seen)


def doubt(line: PickLine, kg: float, fruit: int | None) -> str:
    """Return what looks wrong about kilograms and fruit together, as a question; nothing when it is likely."""
    if not fruit or kg <= 0:
        return ""
    each = kg / fruit
    if line.usual_weight_kg / 3 <= each <= line.usual_weight_kg * 3:
        return ""
    return _(
        "{bay}: {kg} kg of {fruit} fruit are {each} g a fruit; usual are about {usual} g. Is it right?"
    ).format(
        bay=line.name,
        kg=words.number(kg, 1),
        fruit=fruit,
        each=words.number(each * 1000, 0),
        usual=words.number(line.usual_weight_kg * 1000, 0),
    )


def doubt_of_start(line: PickLine, day: date, began: time | None) -> list[str]:
    """Ask whether a pick that began before a treatment of that day was over before it."""
    later = intervals.began_after(line.past.treatments, instant_of(day, began)) if began is not None else ()
    ask = _("{bay}: {what}. Was picking over before then? Fruit picked after it stays apart.")
    return [ask.format(bay=line.name, what=text) for text in later]


def _with_last_day(season: SeasonFacts, day: date) -> SeasonFacts:
    """Let a crop stand on the day of its removal, for the last pick, unless the next one is planted that day."""
    planted = {one.bay_id for one in season.plantings if one.transplanted_on == day}
    plantings = tuple(
        replace(one, removed_on=day + timedelta(days=1))
        if one.removed_on == day and one.bay_id not in planted
        else one
        for one in season.plantings
    )
    return replace(season, plantings=plantings)


def _line(past: BayPast, crops: Crops, day: date, explanations: Sequence[Explanation]) -> PickLine:
    assert past.planting is not None
    picked = tuple(pick for pick in past.picks if pick.picked_on == day)
    colours = [pick.colour for pick in past.picks if pick.colour]
    profile = crops.profile(past.planting.crop)
    return PickLine(
        bay_id=past.bay.id,
        name=f"{past.house.name} · {past.bay.name}",
        planting_id=past.planting.id,
        area_m2=past.bay.area_m2,
        usual_colour=colours[-1] if colours else past.planting.colour_aim.value,
        usual_weight_kg=profile.number("fruit_weight_g").value / 1000,
        picked=picked,
        figures=pick_figures.picked(past, day) | picks_done.done(past, day),
        stopped=intervals.what_blocks(JobKind.PICK, past.treatments, day)
        + house_fault.blocks(JobKind.PICK, past.house_checks),
        past=past,
        inside=tuple(one.text for one in inside.of_picks(picked, past.treatments, explanations)),
    )


def _allowed(line: PickLine, day: date, began: time | None, explanation: str) -> tuple[str, ...]:
    """Return what stops the pick; refuse it when nobody said why it was made all the same."""
    reasons = stopped_by(line, day, began)
    if reasons and not explanation.strip():
        raise Stopped(
            _("{bay} is not to be picked: {why}.").format(bay=line.name, why="; ".join(reasons)),
            _("Nothing was written down."),
            _(
                "The product label and local rules decide. If it was picked all the same, write why (and keep "
                "the fruit apart); that is kept."
            ),
        )
    return reasons


def _note(began: time | None, reasons: Sequence[str], explanation: str) -> str:
    parts = [_("began {time}").format(time=f"{began:%H:%M}")] if began is not None else []
    if reasons:
        parts.append(_("picked although: {why}").format(why="; ".join(reasons)))
    if explanation.strip():
        parts.append(_("explanation: {text}").format(text=explanation.strip()))
    return " · ".join(parts)


def _refuse_future(day: date, began: time | None, moment: Moment) -> None:
    at: datetime | None = instant_of(day, began) if began is not None else None
    if day > moment.today or (at is not None and at > moment.now):
        raise Refused(
            _("{day} is still to come.").format(day=words.day(day)),
            _("Nothing was written down."),
            _("Write a pick down when it is done."),
        )


def _refuse_impossible(line: PickLine, kg: float, fruit: int | None, *, allow_nothing: bool = False) -> None:
    if kg < 0 or (kg == 0 and not allow_nothing):
        raise Refused(
            _("{bay}: a pick has more than 0 kg.").format(bay=line.name), _("Nothing was written down.")
        )
    if kg > line.area_m2 * MOST_KG_PER_M2:
        raise Refused(
            _("{bay}: {kg} kg can't come from {area} m² in one pick.").format(
                bay=line.name, kg=words.number(kg, 1), area=words.number(line.area_m2, 0)
            ),
            _("Nothing was written down."),
            _("Look at the number and its decimal mark."),
        )
    if fruit is not None and fruit < 0:
        raise Refused(_("{bay}: fruit can't be below 0.").format(bay=line.name))
