"""The form of a bay: its size, the crop that stands in it, and what follows from them at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from bayround.actions import setup
from bayround.facts.farm import Bay, House, Planting
from bayround.facts.ids import new_id
from bayround.facts.season import SeasonFacts
from bayround.window.desk import Desk
from bayround.window.farm.form import Form
from bayround.window.farm.many_bays import bays_like
from bayround.window.farm.planting_part import PlantingPart
from bayround.window.farm.plants_part import PlantsPart
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.day_field import DayField
from bayround.window.parts.figure_chips import FigureChips
from bayround.words import _, counted

_SHOWN_AT_ONCE = ("area_m2", "plants_per_m2", "stems_per_m2", "age_weeks")


class BayForm(Form):
    """Adds or changes a bay with its planting; both are kept together."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._house: House | None = None
        self._bay: Bay | None = None
        self._known: SeasonFacts | None = None
        self.name = QLineEdit()
        self.rows = AmountField(_("Rows"), low=1, high=1000, needed=True)
        self.length = AmountField(_("Length"), decimals=2, low=0.1, high=2000, needed=True)
        self.width_field = AmountField(_("Width"), decimals=2, low=0.1, high=2000, needed=True)
        self.walk = AmountField(_("Place in the walk"), low=0, high=9999)
        self.retired = DayField(_("Out of use from"), start=desk.today())
        self.planting = PlantingPart(desk)
        self.chips = FigureChips()
        self.plants = PlantsPart(desk)
        self.many = AmountField(_("How many bays like this one"), low=1, high=200)
        self.many_button = QPushButton(_("Add &bays like this one"))
        self.many_button.clicked.connect(self._add_many)
        self.many.returnPressed.connect(self._add_many)
        self._lay_out()
        self.plants.changed.connect(lambda: self.saved.emit(self._bay.id if self._bay else ""))

    def show_bay(self, house: House, bay: Bay | None, known: SeasonFacts) -> None:
        """Show a bay of a house, or a form for a new one, prefilled from the house's last bay."""
        self._house, self._bay, self._known = house, bay, known
        there = sorted(
            (item for item in known.bays if item.house_id == house.id), key=lambda item: item.position
        )
        like = bay or (there[-1] if there else None)
        self.title.setText(f"{house.name} · {bay.name if bay else _('New bay')}")
        self.name.setText(bay.name if bay else _("B{n}").format(n=len(there) + 1))
        self.rows.show_amount(like.rows if like else None)
        self.length.show_amount(like.length_m if like else house.length_m)
        self.width_field.show_amount(like.width_m if like else house.width_m)
        self.walk.show_amount(bay.position if bay else (there[-1].position + 1 if there else 1))
        self.retired.show_day(bay.retired_on if bay else None)
        standing = standing_planting(known, bay, self.desk) if bay else None
        like_planting = standing_planting(known, like, self.desk) if like and not bay else None
        self.planting.show_planting(standing, like_planting)
        self.plants.show_plants(bay, standing, known)
        self.plants.setVisible(standing is not None)
        for part in (self.many, self.many_button):
            part.setEnabled(bay is not None)
        self.loaded()
        self._derive()

    def refresh_plants(self, known: SeasonFacts) -> None:
        """Show the marked plants anew and leave alone what is being typed."""
        self._known = known
        self.plants.show_plants(self._bay, self.planting.planting, known)

    def problems(self) -> list[str]:
        """Return what is wrong."""
        found = [] if self.name.text().strip() else [_("A name is needed.")]
        return found + super().problems() + self.planting.problems()

    def doubts(self) -> tuple[str, ...]:
        """Return what looks doubtful about the values as typed."""
        assert self._house is not None
        bay = self._typed_bay()
        return setup.questions(self.desk.farm, bay, self.planting.typed(bay.id), self._house)

    def doubtful_field(self) -> QWidget:
        """Return the number of plants, or the length where no crop stands."""
        return self.planting.plants if self.planting.has_crop else self.length

    def change(self) -> tuple[Callable[[], None], str]:
        """Return the write that keeps bay and planting."""
        farm, who, now = self.desk.farm, self.desk.person_id, self.desk.now()
        bay = self._typed_bay()
        planting, stood = self.planting.typed(bay.id), self.planting.planting
        if self._bay is None:
            return (lambda: setup.add(farm, *(fact for fact in (bay, planting) if fact is not None))), bay.id
        before = self._bay

        def write() -> None:
            if bay != before:
                setup.change(farm, bay, who, now)
            if planting is not None and stood is None:
                setup.add(farm, planting)
            elif planting is not None and planting != stood:
                setup.change(farm, planting, who, now)

        return write, bay.id

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.addLayout(
            self.grid(
                (
                    (_("&Name"), self.name, ""),
                    (_("&Rows"), self.rows, ""),
                    (_("L&ength"), self.length, "m"),
                    (_("&Width"), self.width_field, "m"),
                    (_("Place in the walk"), self.walk, ""),
                    (_("Out of &use from"), self.retired, ""),
                ),
                _("Bay"),
            )
        )
        left.addStretch(1)
        right = QVBoxLayout()
        right.addLayout(self.grid(self.planting.rows(), _("Crop that stands in it")))
        right.addStretch(1)
        both = QHBoxLayout()
        both.setSpacing(32)
        both.addLayout(left, 4)
        both.addLayout(right, 6)
        self.column.addLayout(both)
        self.many.setMaximumWidth(64)
        self.many.setText("1")
        self.add_buttons(self.chips)
        lower = QHBoxLayout()
        lower.setSpacing(8)
        lower.addWidget(self.planting.removal)
        lower.addStretch(1)
        lower.addWidget(QLabel(_("More:")))
        lower.addWidget(self.many)
        lower.addWidget(self.many_button)
        self.column.addLayout(lower)
        self.column.addWidget(self.plants, 1)
        for field in self.fields:
            signal = field.textChanged if isinstance(field, QLineEdit) else field.currentTextChanged
            signal.connect(self._derive)
        self.planting.removed.connect(self._end_planting)

    def _typed_bay(self) -> Bay:
        assert self._house is not None
        base = self._bay or Bay(new_id(), self._house.id, "", 1, 1, 1)
        return replace(
            base,
            name=self.name.text().strip(),
            rows=self.rows.whole() or 0,
            length_m=self.length.amount() or 0.0,
            width_m=self.width_field.amount() or 0.0,
            position=self.walk.whole() or 0,
            retired_on=self.retired.day(),
        )

    def _derive(self) -> None:
        """Show area, density and age of what is typed, as soon as it can be reckoned."""
        if self._house is None or not self.length.amount() or not self.width_field.amount():
            self.chips.show_figures(())
            return
        bay = self._typed_bay()
        planting = None if self.planting.problems() else self.planting.typed(bay.id)
        figures = setup.derived(bay, planting, self.desk.today())
        shown = [figures[key] for key in _SHOWN_AT_ONCE if figures[key].value is not None]
        self.chips.show_figures(shown)

    def _add_many(self) -> None:
        if self._bay is None or self._known is None:
            return
        if not self.commit():
            return
        if self.many.problem() or not self.many.whole():
            self.notice.say("stop", self.many.problem() or _("How many bays shall be added?"))
            return
        facts = bays_like(
            self._typed_bay(), self.planting.typed(self._bay.id), self.many.whole() or 0, self._known
        )
        farm, first = self.desk.farm, facts[0].id
        self.desk.tasks.change(
            lambda: setup.add(farm, *facts), lambda _nothing: self._added(first), self._refused
        )

    def _added(self, first: str) -> None:
        self.desk.tell(counted("{n} bay added.", "{n} bays added.", self.many.whole() or 0))
        self.saved.emit(first)

    def _end_planting(self) -> None:
        planting, day = self.planting.planting, self.planting.removed_on.day()
        if planting is None or day is None or not self.commit() or self._bay is None:
            return
        farm, who, now, bay_id = self.desk.farm, self.desk.person_id, self.desk.now(), self._bay.id
        self.desk.tasks.change(
            lambda: setup.end_planting(farm, planting, day, who, now),
            lambda _nothing: self._kept(bay_id),
            self._refused,
        )


def standing_planting(known: SeasonFacts, bay: Bay, desk: Desk) -> Planting | None:
    """Return the crop that stands in a bay today, or the one that will next."""
    today = desk.today()
    there = [
        item for item in known.plantings if item.bay_id == bay.id and (item.removed_on or today) >= today
    ]
    current = [item for item in there if item.removed_on is None or item.removed_on > today]
    return min(current, key=lambda item: item.transplanted_on, default=None)
