"""The form of a house: kind, size, cover, place on the map; bays can be pasted into it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import setup
from bayround.facts.farm import House, HouseKind
from bayround.facts.ids import new_id
from bayround.facts.problems import Problem
from bayround.facts.season import SeasonFacts
from bayround.window.desk import Desk
from bayround.window.farm import paste
from bayround.window.farm.form import Form, choose
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.day_field import DayField
from bayround.window.parts.notice import ASK
from bayround.words import _, counted, listing


class HouseForm(Form):
    """Adds or changes one house."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._house: House | None = None
        self._known: SeasonFacts | None = None
        self._build_fields()
        self.paste_button = QPushButton(_("Paste &bays from a spreadsheet"))
        self.paste_button.setToolTip(
            _(
                "Copy rows with name, rows, length and width (and crop, variety, planted, plants, stems), then press this."
            )
        )
        self.paste_button.clicked.connect(self._paste)
        both = QHBoxLayout()
        both.setSpacing(32)
        both.addLayout(self._house_grid(), 1)
        both.addLayout(self._cover_grid(), 1)
        self.column.addLayout(both)
        self.add_buttons(self.paste_button)
        self.column.addStretch(1)

    def show_house(self, house: House | None, known: SeasonFacts) -> None:
        """Show a house, or an empty form for a new one."""
        self._house, self._known = house, known
        self.title.setText(house.name if house else _("New house"))
        self.name.setText(house.name if house else _("House {n}").format(n=len(known.houses) + 1))
        choose(self.kind, house.kind if house else HouseKind.NET_HOUSE)
        self.length.show_amount(house.length_m if house else None)
        self.width_field.show_amount(house.width_m if house else None)
        self.wire.show_amount(house.wire_height_m if house else None)
        self.cover.setText(house.cover if house else "")
        self.fitted.show_day(house.cover_fitted_on if house else None)
        self.east.show_amount(house.map_east_m if house else None)
        self.north.show_amount(house.map_north_m if house else None)
        self.walk.show_amount(house.position if house else _next_position(known))
        self.note.setText(house.note if house else "")
        self.paste_button.setEnabled(house is not None)
        self.loaded()

    def problems(self) -> list[str]:
        """Return what is wrong."""
        found = [] if self.name.text().strip() else [_("A name is needed.")]
        if (self.east.amount() is None) != (self.north.amount() is None):
            found.append(_("A place on the map needs both metres east and metres north."))
        return found + super().problems()

    def change(self) -> tuple[Callable[[], None], str]:
        """Return the write that keeps the house."""
        farm, who, now = self.desk.farm, self.desk.person_id, self.desk.now()
        base = self._house or House(new_id(), "", HouseKind.NET_HOUSE, 1, 1)
        house = replace(
            base,
            name=self.name.text().strip(),
            kind=self.kind.currentData(),
            length_m=self.length.amount() or 0.0,
            width_m=self.width_field.amount() or 0.0,
            wire_height_m=self.wire.amount(),
            cover=self.cover.text().strip(),
            cover_fitted_on=self.fitted.day(),
            map_east_m=self.east.amount(),
            map_north_m=self.north.amount(),
            position=self.walk.whole() or 0,
            note=self.note.text().strip(),
        )
        if self._house is None:
            return (lambda: setup.add(farm, house)), house.id
        return (lambda: setup.change(farm, house, who, now)), house.id

    def _build_fields(self) -> None:
        self.name = QLineEdit()
        self.kind = QComboBox()
        for kind in HouseKind:
            self.kind.addItem(_(kind.value.capitalize()), kind)
        self.length = AmountField(_("Length"), decimals=2, low=0.1, high=2000, needed=True)
        self.width_field = AmountField(_("Width"), decimals=2, low=0.1, high=2000, needed=True)
        self.wire = AmountField(_("Height of the top wire"), decimals=2, low=0.1, high=15)
        self.cover = QLineEdit()
        self.cover.setPlaceholderText(_("50-mesh net, film …"))
        self.fitted = DayField(_("Cover fitted on"), start=self.desk.today())
        self.east = AmountField(_("Metres east on the map"), decimals=1, low=-100_000, high=100_000)
        self.north = AmountField(_("Metres north on the map"), decimals=1, low=-100_000, high=100_000)
        self.walk = AmountField(_("Place in the walk"), low=0, high=9999)
        self.note = QLineEdit()

    def _house_grid(self) -> QVBoxLayout:
        return _at_top(
            self.grid(
                (
                    (_("&Name"), self.name, ""),
                    (_("&Kind"), self.kind, ""),
                    (_("Leng&th"), self.length, "m"),
                    (_("&Width"), self.width_field, "m"),
                    (_("Height of the top w&ire"), self.wire, "m"),
                    (_("Place in the walk"), self.walk, ""),
                ),
                _("House"),
            )
        )

    def _cover_grid(self) -> QVBoxLayout:
        return _at_top(
            self.grid(
                (
                    (_("&Cover"), self.cover, ""),
                    (_("Cover fitte&d on"), self.fitted, ""),
                    (_("Metres &east on the map"), self.east, "m"),
                    (_("Metres n&orth on the map"), self.north, "m"),
                    (_("Note"), self.note, ""),
                ),
                _("Cover and place"),
            )
        )

    def _paste(self) -> None:
        if self._house is None or self._known is None:
            return
        try:
            found = paste.read_bays(
                QGuiApplication.clipboard().text(), self._house, self._known, self.desk.farm.crops
            )
        except Problem as problem:
            self.notice.refuse(problem)
            return
        names = listing([bay.name for bay in found.bays])
        text = counted("Add {n} bay: ", "Add {n} bays: ", len(found.bays)) + names + "?"
        self.notice.say(
            ASK, text, ((_("&Add them"), lambda: self._add_pasted(found)), (_("Lea&ve"), self.notice.clear))
        )

    def _add_pasted(self, found: paste.PastedBays) -> None:
        farm, first = self.desk.farm, found.bays[0].id
        self.desk.tasks.change(
            lambda: setup.add(farm, *found.bays, *found.plantings),
            lambda _nothing: self._kept(first),
            self._refused,
        )


def _at_top(grid: QGridLayout) -> QVBoxLayout:
    column = QVBoxLayout()
    column.addLayout(grid)
    column.addStretch(1)
    return column


def _next_position(known: SeasonFacts) -> int:
    return max((house.position for house in known.houses), default=0) + 1
