"""Two people typed into one place: both values are shown, with who and when, and this person chooses."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt

from bayround.facts.problems import TypedMeanwhile
from bayround.facts.rounds import CardCount, PestCheck, PlantState, WeedNote
from bayround.window.parts.notice import ASK, Notice
from bayround.window.parts.number_entry import shown
from bayround.window.visit.record_row import Record
from bayround.window.visit.sheet_in_hand import CellChange
from bayround.window.visit.visit_work import VisitWork
from bayround.words import _

if TYPE_CHECKING:
    from bayround.window.visit.keying_page import KeyingPage


class OvertakenValues(QObject):
    """Asks one after another; until all are answered the bay is not left.

    Attributes:
        people: names by id, to say who typed the other value.
    """

    def __init__(self, page: KeyingPage, work: VisitWork) -> None:
        super().__init__(page)
        self._page, self._work = page, work
        self.notice = Notice()
        self.people: dict[str, str] = {}
        self._open: list[TypedMeanwhile] = []

    def ask(self, error: TypedMeanwhile) -> None:
        """Show both values as soon as those before are decided."""
        self._open = [known for known in self._open if known.place != error.place] + [error]
        self._show()

    def insist(self) -> bool:
        """Tell whether something is undecided; the keyboard then goes to the question."""
        if self._open and self.notice.answers:
            self.notice.answers[0].setFocus(Qt.FocusReason.OtherFocusReason)
        return bool(self._open)

    def leave_bay(self) -> None:
        """Nothing is asked about any more (another bay)."""
        self._open = []
        self.notice.clear()

    def _show(self) -> None:
        error = self._open[0]
        mine, theirs = self._worded(error, error.wanted), self._worded(error, error.now)
        name = self.people.get(error.person_id or "", "") or _("somebody else")
        at = _(" at {time}").format(time=_clock(error.at)) if error.at else ""
        self.notice.say(
            ASK,
            _("{what}: {name} typed “{theirs}”{at}, you typed “{mine}”. Which one stands?").format(
                what=self._what(error), name=name, theirs=theirs, at=at, mine=mine
            ),
            (
                (_("{value} of {name}").format(value=theirs, name=name), lambda: self._decide(error, False)),
                (_("My {value}").format(value=mine), lambda: self._decide(error, True)),
            ),
        )

    def _decide(self, error: TypedMeanwhile, mine: bool) -> None:
        self._open.remove(error)
        self.notice.clear()
        stands = self._worded(error, error.wanted if mine else error.now)
        if mine:
            self._save_mine(error)
        else:
            self._work.refresh()
        self._page.message.say(_("{what}: {value} stands.").format(what=self._what(error), value=stands))
        if self._open:
            self._show()
        else:
            self._page.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _save_mine(self, error: TypedMeanwhile) -> None:
        """Save this person's value over the one that was shown, and over no third one."""
        work, visit_id, wanted = self._work, self._work.visit_id, error.wanted
        about, field = error.place
        if isinstance(wanted, PestCheck | CardCount | WeedNote):
            work.known.saved(("record", visit_id, about), error.now)
            work.save_record(wanted)
        elif isinstance(wanted, PlantState):
            work.known.saved(("state", visit_id, about), error.now)
            work.save_state(about, wanted)
        elif isinstance(wanted, str):
            work.known.saved(("note", visit_id), error.now)
            work.save_note(visit_id, wanted)
        else:
            work.known.saved(("cell", visit_id, error.place), error.now)
            now, number = _number(error.now), _number(wanted)
            self._page.readings.in_hand.typed[about, field] = number
            work.save_cells((CellChange((about, field), now, number),))

    def _what(self, error: TypedMeanwhile) -> str:
        about, field = error.place
        if field == "note":
            return _("Note")
        sheet = self._page.readings.in_hand.sheet
        plant = next((row.plant.label for row in sheet.rows if row.plant.id == about), "")
        if field == "state":
            return _("Plant {plant}").format(plant=plant)
        if field:
            label = next((_(known.label) for known in sheet.fields if known.key == field), field)
            return _("Plant {plant}, {field}").format(plant=plant, field=label)
        for model in self._page.sections.models.values():
            place = model.place_of(about)
            if place is not None:
                return model.name_of(model.rows[place])
        return _("A row")

    def _worded(self, error: TypedMeanwhile, value: object) -> str:
        if isinstance(value, PestCheck | CardCount | WeedNote):
            return _record_words(value)
        if isinstance(value, PlantState):
            return _(value.value)
        if isinstance(value, int | float):
            sheet = self._page.readings.in_hand.sheet
            decimals = next((known.decimals for known in sheet.fields if known.key == error.place[1]), 1)
            return shown(float(value), decimals)
        if isinstance(value, str) and value:
            return value if len(value) <= 60 else value[:57] + "…"
        return _("nothing")


def _record_words(record: Record) -> str:
    if isinstance(record, PestCheck):
        more = [record.where]
        if record.counted is not None:
            more.append(_("{n} counted").format(n=record.counted))
        if record.severity_percent is not None:
            more.append(f"{shown(record.severity_percent, 0)} %")
        words = _("{infested} of {inspected}").format(infested=record.infested, inspected=record.inspected)
    elif isinstance(record, CardCount):
        more = [record.card, record.colour]
        words = _("{count} in {days} days").format(count=record.count, days=shown(record.days_hung, 1))
    else:
        more = [record.species, record.where, _("seeding") if record.seeding else ""]
        words = _("{cover} % cover").format(cover=shown(record.cover_percent, 0))
    return ", ".join(part for part in (words, *more) if part)


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def _clock(at: datetime | None) -> str:
    return f"{at.astimezone():%H:%M}" if at else ""
