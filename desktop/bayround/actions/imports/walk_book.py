"""A filled walk workbook becomes the drafts of a round: what can't be right is refused, what is odd is kept and asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from bayround import words
from bayround.actions.imports import names, old_grades
from bayround.actions.imports.filling import Filling, shown_value
from bayround.actions.imports.preview import Need, Options, Plan, State
from bayround.actions.imports.walks import Walks
from bayround.actions.jobs import Moment
from bayround.facts.bay_past import BayPast
from bayround.facts.farm import Bay
from bayround.facts.ids import new_id
from bayround.facts.problems import Problem
from bayround.facts.rounds import CardCount, PestCheck, PlantState, WeedNote
from bayround.facts.weeks import Week
from bayround.paper.imports import typed
from bayround.paper.imports.grid import Fault, Value
from bayround.paper.imports.walk_answers import (
    BayAnswers,
    CardAnswers,
    PestAnswers,
    PlantAnswers,
    WalkAnswers,
)
from bayround.words import _

_MOST = 100_000


def plan(answers: WalkAnswers, walks: Walks, options: Options, moment: Moment) -> Plan:
    """Return what a filled walk workbook would bring.

    Raises:
        Problem: when it is of another farm.
    """
    found, season = walks.found, walks.season
    if answers.farm_id != season.farm.id:
        raise Problem(
            _("This walk sheet is of another farm."), _("Nothing was brought in."), _("Open that farm first.")
        )
    day = options.day or typed.day(answers.held_on)
    if day is None:
        found.needs.append(Need.DAY)
        return found
    if day > moment.today:
        found.needs.append(Need.DAY)
        found.notes.append(_("{day} is still to come.").format(day=words.day(day)))
        return found
    scout = options.scout_id or _scout(answers.scout, walks, day, moment)
    if scout is None:
        found.needs.append(Need.SCOUT)
        if answers.scout:
            found.notes.append(_("Nobody here is called “{name}”.").format(name=answers.scout))
        return found
    if str(Week.of(day)) != answers.week:
        why = _("the sheet was written for {week}").format(week=answers.week)
        found.say(State.DOUBTFUL, _("Date of the walk"), words.day(day), why)
    _fill(answers, walks, day, scout, found)
    return found


def _scout(name: str, walks: Walks, day: date, moment: Moment) -> str | None:
    """Return who walked: the name on the sheet; without one whoever held a round that day, or sits at the desk."""
    if name:
        known = names.person(walks.season.people, name)
        return known.id if known else None
    if walks.has_round(day):
        return ""
    return moment.person_id


def _fill(answers: WalkAnswers, walks: Walks, day: date, scout: str, found: Plan) -> None:
    walked = walks.round_of(day, scout, [one.places.bay_id for one in answers.bays])
    bays = {bay.id: bay for bay in walks.season.bays}
    for sheet in answers.missing:
        found.say(State.REFUSED, sheet[:60], "", _("its sheet is no longer in the workbook"))
    for one in answers.bays:
        if not _anything(one):
            found.say(State.SAME, one.places.sheet[:60], "", _("left empty"))
            continue
        past, why = _past(one, walks, day, bays)
        if past is None:
            found.say(State.REFUSED, one.places.sheet[:60], "", why)
            continue
        filling = walks.begin(past, walked)
        if filling.record.visit.planting_id != one.places.planting_id:
            found.say(State.REFUSED, filling.name, "", _("another crop stands in this bay now"))
            continue
        _Bay(filling, one, walks).take()
        walks.end(filling, walked)


def _past(one: BayAnswers, walks: Walks, day: date, bays: dict[str, Bay]) -> tuple[BayPast | None, str]:
    if one.places.bay_id not in bays:
        return None, _("this bay is not in the farm")
    past = walks.past(day, one.places.bay_id)
    if past is None or past.planting is None:
        return None, _("no crop stood in this bay on {day}").format(day=words.day(day))
    if past.planting.id != one.places.planting_id:
        return None, _("another crop stands in this bay now")
    return past, ""


def _anything(one: BayAnswers) -> bool:
    typed_cells: list[Value] = [*one.weeds, one.note]
    for plant in one.plants:
        standing = plant.state in ("", _(PlantState.STANDING.value), PlantState.STANDING.value)
        typed_cells += [*plant.values.values(), plant.note, None if standing else plant.state]
    for pest in one.pests:
        typed_cells += [pest.looked_at, pest.infested, pest.counted, pest.severity, pest.where]
    for card in one.cards:
        typed_cells += [card.card, card.insect, card.count, card.days]
    return any(value is not None and value != "" for value in typed_cells)


@dataclass(slots=True)
class _Bay:
    """One bay's sheet, going into its visit."""

    filling: Filling
    answers: BayAnswers
    walks: Walks

    def take(self) -> None:
        """Take everything that is on the sheet."""
        plants = {plant.id: plant for plant in self.filling.past.plants_on(self.filling.record.day)}
        for one in self.answers.plants:
            self._plant(one, plants.get(one.place.plant_id))
        for pest in self.answers.pests:
            self._pest(pest)
        for card in self.answers.cards:
            self._card(card)
        self._weeds()
        note = self._words(_("note"), self.answers.note)
        if note:
            self.filling.note(note)

    def _plant(self, one: PlantAnswers, plant: Any) -> None:
        label = _("plant {n}").format(n=one.place.number)
        state = _state(one.state)
        standing = state is PlantState.STANDING
        if not one.values and one.note is None and standing:
            return
        if plant is None:
            self.filling.refuse(label, _("this plant is no longer marked"))
        elif one.moved:
            self.filling.refuse(label, _("another number stands before its row: the rows were moved"))
        else:
            if state is None:
                self.filling.doubt(f"{label}: “{one.state[:60]}”", _("no state of a plant; kept as a note"))
            note = " · ".join(
                text for text in (self._words(label, one.note), one.state if state is None else "") if text
            )
            self.filling.reading(plant, one.values, note, state)

    def _pest(self, one: PestAnswers) -> None:
        organism = self.walks.crops.organisms.get(one.place.organism)
        cells = {_("looked at"): one.looked_at, _("infested"): one.infested, _("counted"): one.counted}
        if all(value is None for value in (*cells.values(), one.severity, one.where)):
            return
        label = _(organism.name) if organism else one.place.organism[:60]
        moved = one.name and organism and names.plain(one.name) not in (
            names.plain(_(organism.name)), names.plain(organism.name),
        )  # fmt: skip
        if organism is None or moved:
            self.filling.refuse(label, _("another name stands before its row: the rows were moved"))
            return
        remarks = [text for text in (self._words(label, one.where),) if text]
        counts = {name: self._count(label, name, value, remarks) for name, value in cells.items()}
        inspected, infested, counted = counts.values()
        severity = self._percent(label, one.severity, remarks)
        shown = _("{label}: looked at {n}, infested {m}").format(
            label=label, n=_shown(one.looked_at), m=_shown(one.infested)
        )
        if inspected is None or infested is None:
            self.filling.refuse(shown, _("both have to stand there: how many were looked at, and how many were infested (0 for none)"))  # fmt: skip
        elif infested > inspected:
            self.filling.refuse(shown, _("more infested than looked at"))
        else:
            check = PestCheck(
                new_id(), self.filling.record.visit.id, one.place.organism, one.place.part, inspected,
                infested, counted, severity, " · ".join(remarks),
            )  # fmt: skip
            self.filling.record_seen(check, shown)

    def _card(self, one: CardAnswers) -> None:
        if all(value is None for value in (one.card, one.insect, one.count, one.days)):
            return
        label = _("card {card}: {insect}").format(card=_shown(one.card), insect=_shown(one.insect))
        key = names.organism(self.walks.crops, one.insect)
        remarks: list[str] = []
        count = self._count(label, _("count"), one.count, remarks)
        days = typed.number(one.days)
        if key is None:
            self.filling.refuse(label, _("no insect of this name is counted"))
        elif count is None or days is None or not 0 < days <= 60:
            self.filling.refuse(label, _("count and days hung (more than 0, at most 60) have to stand there"))
        else:
            visit = self.filling.record.visit.id
            card = CardCount(new_id(), visit, self._words(label, one.card), key, count, days)
            self.filling.record_seen(card, f"{label} {count}")

    def _weeds(self) -> None:
        cover, seeding, species, where = self.answers.weeds
        if all(value is None for value in self.answers.weeds):
            return
        number = typed.number(cover, frozenset({"%"}))
        said = _yes_or_no(seeding)
        label = _("weeds: {cover} %").format(cover=_shown(cover))
        if number is None or not 0 <= number <= 100:
            self.filling.refuse(label, _("weed cover is a number from 0 to 100"))
        elif said is None:
            self.filling.refuse(f"{label}, {_shown(seeding)}", _("whether weeds are seeding is yes or no"))
        else:
            note = WeedNote(
                new_id(),
                self.filling.record.visit.id,
                number,
                said,
                self._words(label, species),
                self._words(label, where),
            )
            self.filling.record_seen(note, label)

    def _words(self, label: str, value: Value) -> str:
        """Return the words in a cell; a formula or an error in it is refused."""
        if isinstance(value, Fault):
            self.filling.refuse(label, value.why)
        return "" if value is None or isinstance(value, Fault) else shown_value(value).strip()

    def _count(self, label: str, name: str, value: Value, remarks: list[str]) -> int | None:
        """Return a whole number; words are kept beside it, anything else is refused."""
        if value is None:
            return None
        number = typed.number(value)
        if number is not None and number == round(number) and 0 <= number <= _MOST:
            return round(number)
        self._odd(label, name, value, remarks, _("a count is a whole number, 0 or more"))
        return None

    def _percent(self, label: str, value: Value, remarks: list[str]) -> float | None:
        if value is None:
            return None
        number = typed.number(value, frozenset({"%"}))
        if number is not None and 0 <= number <= 100:
            return number
        if isinstance(value, str) and (percent := old_grades.percent_of(value)) is not None:
            remarks.append(_("severity graded {grade}").format(grade=value.strip()))
            return percent
        self._odd(label, _("severity"), value, remarks, _("a percentage is from 0 to 100"))
        return None

    def _odd(self, label: str, name: str, value: Value, remarks: list[str], why: str) -> None:
        shown = f"{label}, {name}: “{_shown(value)}”"
        if isinstance(value, str) and typed.number(value) is None:
            remarks.append(f"{name}: {value.strip()}")
            self.filling.doubt(shown, _("words where a number belongs; kept as a note"))
        else:
            self.filling.refuse(shown, value.why if isinstance(value, Fault) else why)


def _state(text: str) -> PlantState | None:
    wanted = text.strip().casefold()
    if not wanted:
        return PlantState.STANDING
    found: Sequence[PlantState] = [
        state for state in PlantState if wanted in (state.value.casefold(), _(state.value).casefold())
    ]
    return found[0] if found else None


def _yes_or_no(value: Value) -> bool | None:
    if value is None or isinstance(value, bool):
        return bool(value)
    text = str(value).strip().casefold()
    if text in ("yes", "y", _("yes").casefold()):
        return True
    return False if text in ("no", "n", "", _("no").casefold()) else None


def _shown(value: Value) -> str:
    return "–" if value is None else shown_value(value)[:60]
