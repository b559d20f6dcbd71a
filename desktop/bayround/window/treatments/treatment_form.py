"""The form of a treatment: everything as typed from the label, nothing proposed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from bayround.actions import treatments
from bayround.actions.jobs import Moment
from bayround.actions.treatments import TreatedBays, TreatmentBook
from bayround.facts.ids import new_id
from bayround.facts.work import Treatment
from bayround.window.desk import Desk
from bayround.window.farm.form import Form, choose
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.check_list import CheckList
from bayround.window.parts.day_field import DayField
from bayround.window.parts.time_field import TimeField
from bayround.window.parts.whole_table import roomy_list
from bayround.words import _


class TreatmentForm(Form):
    """Writes a treatment down, or puts one right with a reason."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._book: TreatmentBook | None = None
        self._shown: TreatedBays | None = None
        self.day = DayField(_("Ended on"), needed=True, start=desk.today())
        self.time = TimeField(_("Ended at"), needed=True)
        self.began = TimeField(_("Began at"))
        self.kind = QComboBox()
        self.kind.addItem(_("Product"), False)
        self.kind.addItem(_("Living organism"), True)
        self.target = QComboBox()
        self.target.setEditable(True)
        self.target.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.active, self.group = QLineEdit(), QLineEdit()
        self.product, self.registration, self.note = QLineEdit(), QLineEdit(), QLineEdit()
        self.by = QComboBox()
        self.re_entry = AmountField(_("Re-entry interval"), decimals=2, high=treatments.MOST_HOURS)
        self.pre_harvest = AmountField(_("Pre-harvest interval"), decimals=1, high=treatments.MOST_DAYS)
        self.reason = QLineEdit()
        self.bays = CheckList(_("Bays treated"))
        self.clocks = QLabel()
        self.clocks.setWordWrap(True)
        self.clocks.setObjectName("heading")
        self._lay_out()
        for field in (self.day, self.time, self.began, self.re_entry, self.pre_harvest):
            field.edited.connect(self._show_clocks)
        self.kind.currentIndexChanged.connect(self._show_clocks)

    def show_treatment(self, book: TreatmentBook, shown: TreatedBays | None) -> None:
        """Show a treatment to be put right, or an empty form."""
        self._book, self._shown = book, shown
        item = shown.treatment if shown else None
        local = item.ended_at.astimezone() if item else None
        self.title.setText(_("Put right what was written down") if shown else _("New treatment"))
        self._show_choices(book)
        self.day.show_day(local.date() if local else self.desk.today())
        self.time.show_time(local.time() if local else None)
        started = item.started_at if item else None
        self.began.show_time(started.astimezone().time() if started else None)
        choose(self.kind, item.biological if item else False)
        choose(self.by, item.applied_by_id if item else self.desk.person_id)
        place = self.target.findData(item.target) if item else -1
        self.target.setCurrentIndex(place)
        if place < 0:
            self.target.setEditText(item.target if item else "")
        for field, text in (
            (self.active, item.active_ingredient if item else ""),
            (self.group, item.mode_of_action_group if item else ""),
            (self.product, item.product if item else ""),
            (self.registration, item.registration_number if item else ""),
            (self.note, item.note if item else ""),
            (self.reason, ""),
        ):
            field.setText(text)
            field.setCursorPosition(0)  # the beginning of a long name shows, not its end
        self.re_entry.show_amount(item.re_entry_hours if item else None)
        self.pre_harvest.show_amount(item.pre_harvest_days if item else None)
        self.bays.show_lines([(bay.id, name) for bay, name in book.bays], shown.bay_ids if shown else ())
        for part in (self._reason_label, self.reason):
            if part is not None:
                part.setVisible(shown is not None)
        self._show_clocks()
        self.loaded()

    def problems(self) -> list[str]:
        """Return what is wrong."""
        found = super().problems()
        if not self.bays.ticked:
            found.append(_("Tick the bays that were treated."))
        if self._shown is not None and not self.reason.text().strip():
            found.append(_("Say in a few words why it is put right."))
        return found

    def doubts(self) -> tuple[str, ...]:
        """Return what looks wrong: times that may be swapped, unknown intervals, a group used again."""
        assert self._book is not None
        item = self._typed_treatment()
        if item is None:
            return ()
        asked = self._taken_out()
        kept = self._shown.treatment if self._shown else None
        if kept is None or (kept.started_at, kept.ended_at) != (item.started_at, item.ended_at):
            asked += treatments.doubt_of_night(item)
        if not item.biological:
            for field in (self.re_entry, self.pre_harvest):
                if field.amount() is None:
                    asked.append(
                        _(
                            "{name}: not entered. The bays count as not safe until it is; look at the label."
                        ).format(name=field.name)
                    )
        but = self._shown.treatment.id if self._shown else ""
        again = treatments.repeated_in(
            self._book.season, item.mode_of_action_group, self.bays.ticked, item.ended_at, but
        )
        if again:
            more = len(again) - 3
            asked += list(again[:3]) + ([_("The same on {n} more bays.").format(n=more)] if more > 0 else [])
            asked.append(
                _(
                    "Successive generations should not meet the same group; ask whoever may decide on treatments."
                )
            )
        return tuple(asked)

    def doubtful_field(self) -> QWidget:
        """Return the field to go to when a doubtful value is to be changed."""
        item = self._typed_treatment()
        if item is not None and treatments.doubt_of_night(item):
            return self.began
        for field in (self.re_entry, self.pre_harvest):
            if field.amount() is None:
                return field
        return self.group

    def change(self) -> tuple[Callable[[], None], str]:
        """Return the write that keeps the treatment."""
        farm, item = self.desk.farm, self._typed_treatment()
        assert item is not None
        moment = Moment(self.desk.today(), self.desk.now(), self.desk.person_id)
        ticked, shown, reason = self.bays.ticked, self._shown, self.reason.text()
        covered = (*ticked, *self._not_listed())

        def keep() -> None:
            if shown is None:
                treatments.record(farm, item, ticked, moment)
            else:
                treatments.correct(farm, shown.treatment, item, moment, reason, covered)

        return keep, item.id

    def _not_listed(self) -> list[str]:
        """Return bays of the treatment that are in use no more: they stay with it."""
        listed = {bay.id for bay, _name in self._book.bays} if self._book else set()
        return [bay_id for bay_id in self._shown.bay_ids if bay_id not in listed] if self._shown else []

    def _taken_out(self) -> list[str]:
        """Ask about bays that are taken out of a treatment."""
        if self._shown is None or self._book is None:
            return []
        ticked = self.bays.ticked
        names = [
            name for bay, name in self._book.bays if bay.id in self._shown.bay_ids and bay.id not in ticked
        ]
        ask = _(
            "{bays}: taken out of this treatment, so its intervals keep nobody out there. Was nothing applied there?"
        )
        return [ask.format(bays=", ".join(names))] if names else []

    def _typed_treatment(self) -> Treatment | None:
        day, at = self.day.day(), self.time.time_of_day()
        if day is None or at is None:
            return None
        text = self.target.currentText().strip()
        place = self.target.findText(text)
        base = self._shown.treatment if self._shown else Treatment(new_id(), datetime.now(UTC), "", "")
        kept_end = base.ended_at.astimezone()
        same_minute = self._shown is not None and (kept_end.date(), f"{kept_end:%H:%M}") == (
            day,
            f"{at:%H:%M}",
        )
        ended = base.ended_at if same_minute else treatments.ended_at(day, at)
        return treatments.tidied(
            replace(
                base,
                ended_at=ended,
                started_at=self._typed_start(base, ended),
                target=str(self.target.itemData(place)) if place >= 0 else text,
                active_ingredient=self.active.text(),
                mode_of_action_group=self.group.text(),
                product=self.product.text(),
                registration_number=self.registration.text(),
                re_entry_hours=self.re_entry.amount(),
                pre_harvest_days=self.pre_harvest.amount(),
                applied_by_id=self.by.currentData() or None,
                biological=bool(self.kind.currentData()),
                note=self.note.text(),
            )
        )

    def _typed_start(self, base: Treatment, ended: datetime) -> datetime | None:
        began = self.began.time_of_day()
        if began is None:
            return None
        kept = base.started_at
        same = (
            kept is not None and base.ended_at == ended and f"{kept.astimezone():%H:%M}" == f"{began:%H:%M}"
        )
        return kept if same else treatments.started_at(self.day.day() or self.desk.today(), began, ended)

    def _show_choices(self, book: TreatmentBook) -> None:
        self.target.clear()
        for key, name in book.targets:
            self.target.addItem(_(name), key)
        roomy_list(self.target)
        self.by.clear()
        self.by.addItem(_("Not said"), "")
        for person in book.people:
            if person.active or (self._shown and person.id == self._shown.treatment.applied_by_id):
                self.by.addItem(person.name, person.id)

    def _show_clocks(self) -> None:
        item = self._typed_treatment() if self._book is not None else None
        if item is None:
            self.clocks.setText(_("Enter from: say when it ended"))
            return
        enter, pick = treatments.clock_words(item)
        self.clocks.setText(_("Enter from: {enter}\nPick from: {pick}").format(enter=enter, pick=pick))

    def _lay_out(self) -> None:
        left = self.grid(
            (
                (_("&Kind"), self.kind, ""),
                (_("Ended &on"), self.day, ""),
                (_("Ended a&t"), self.time, _("local time")),
                (_("Began at"), self.began, _("if known")),
                (_("A&ctive ingredient"), self.active, ""),
                (_("&Mode-of-action group"), self.group, ""),
                (_("Product name"), self.product, ""),
                (_("Registration number"), self.registration, ""),
                (_("Aga&inst"), self.target, ""),
                (_("&Re-entry interval"), self.re_entry, _("hours")),
                (_("Pre-har&vest interval"), self.pre_harvest, _("days")),
                (_("Applie&d by"), self.by, ""),
                (_("Note"), self.note, ""),
                (_("Why put right"), self.reason, ""),
            )
        )
        beside = left.itemAtPosition(left.rowCount() - 1, 0)
        self._reason_label = beside.widget() if beside is not None else None
        right = QVBoxLayout()
        right.setSpacing(8)
        label = QLabel(_("&Bays treated  (Space ticks, Ctrl+A all)"))
        label.setBuddy(self.bays)
        label.setWordWrap(True)
        right.addWidget(label)
        right.addWidget(self.bays, 1)
        right.addWidget(self.clocks)
        self.bays.setMinimumWidth(self.fontMetrics().averageCharWidth() * 34)
        row = QHBoxLayout()
        row.setSpacing(24)
        row.addLayout(left, 1)
        row.addLayout(right, 1)
        self.column.addWidget(_hint())
        self.column.addLayout(row)
        self.add_buttons()
        self.column.addStretch(1)

    def _typed(self) -> tuple[str, ...]:
        return (*super()._typed(), *self.bays.ticked)


def _hint() -> QLabel:
    hint = QLabel(_("Type everything as it stands on the label; leave empty what you do not know."))
    hint.setObjectName("quiet")
    hint.setWordWrap(True)
    return hint
