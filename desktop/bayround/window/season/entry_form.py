"""The form for a new cost, price or wage; the fields that the kind does not need are off."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from bayround.actions import money
from bayround.actions.money_entries import MoneyBook
from bayround.facts.money import CostKind
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.day_field import DayField
from bayround.window.parts.notice import STOP, Notice
from bayround.words import _

_PRICE, _WAGE = "price", "wage"


class EntryForm(QWidget):
    """Kept with its button or Enter in the last field.

    Attributes:
        kept: something was written down.
    """

    kept = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.kind, self.crop, self.grade, self.colour, self.place = (QComboBox() for _number in range(5))
        self.day = DayField(_("Day"), needed=True)
        self.what, self.amount = QLineEdit(), QLineEdit()
        self.life = AmountField(_("Years of life"), decimals=1, high=100)
        self.keep = QPushButton(_("&Keep the entry"))
        self.keep.setProperty("main", True)
        self.notice = Notice()
        self._fields: tuple[tuple[str, QWidget], ...] = (
            (_("Kin&d"), self.kind),
            (_("Day spent, or first day"), self.day),
            (_("What"), self.what),
            (_("Concerns"), self.place),
            (_("Spread over years"), self.life),
            (_("Crop"), self.crop),
            (_("Grade"), self.grade),
            (_("Colour"), self.colour),
            (_("Amount"), self.amount),
        )
        self._lay_out()
        for kind in CostKind:
            self.kind.addItem(_("cost: {kind}").format(kind=_(kind.value)), kind.value)
        self.kind.addItem(_("price of a kilogram"), _PRICE)
        self.kind.addItem(_("wage of an hour"), _WAGE)
        self.kind.currentIndexChanged.connect(lambda _place: self._chosen())
        self.keep.clicked.connect(self.save)
        self.amount.returnPressed.connect(self.save)
        for line in (self.day, self.what, self.life):
            line.returnPressed.connect(self.focusNextChild)
        self._chosen()

    def show_book(self, book: MoneyBook) -> None:
        """Offer the farm's houses, bays, crops, grades and colours; what is chosen stays."""
        places = [("", _("the whole farm"))]
        places += [(f"house {key}", _("house {name}").format(name=name)) for key, name in book.houses]
        places += [(f"bay {key}", name) for key, name in book.bays]
        _refill(self.place, places)
        _refill(self.crop, list(book.crops))
        _refill(self.grade, [("", _("every grade")), *((grade, _(grade)) for grade in book.grades)])
        _refill(self.colour, [("", _("every colour")), *((colour, _(colour)) for colour in book.colours)])
        self.amount.setPlaceholderText(
            _("{currency}, two decimals").format(currency=book.currency or _("money"))
        )
        if not self.day.text():
            self.day.show_day(self.desk.today())

    @property
    def is_changed(self) -> bool:
        """Something is typed that is not kept."""
        return bool(self.what.text().strip() or self.amount.text().strip())

    def clear(self) -> None:
        """Throw away what is typed."""
        for field in (self.what, self.amount, self.life):
            field.clear()
        self.notice.clear()

    def save(self) -> None:
        """Write the entry down."""
        day, problem = self.day.day(), self.day.problem() or self.life.problem()
        if problem or day is None:
            self.notice.say(STOP, problem)
            return
        farm, kind, amount = self.desk.farm, str(self.kind.currentData()), self.amount.text()
        crop, grade, colour = (str(box.currentData() or "") for box in (self.crop, self.grade, self.colour))
        what, life = self.what.text(), self.life.amount()
        place, _space, key = str(self.place.currentData() or "").partition(" ")

        def work() -> object:
            hundredths = money.hundredths(amount)
            if kind == _PRICE:
                return money.add_price(farm, day, crop, hundredths, grade, colour)
            if kind == _WAGE:
                return money.set_wage(farm, day, hundredths)
            return money.add_cost(
                farm,
                day,
                CostKind(kind),
                what,
                hundredths,
                bay_id=key if place == "bay" else None,
                house_id=key if place == "house" else None,
                life_years=life,
            )

        self.desk.tasks.change(work, lambda _made: self._saved(), self.notice.refuse)

    def _saved(self) -> None:
        self.clear()
        self.desk.tell(_("The entry is kept."))
        self.kept.emit()

    def _chosen(self) -> None:
        kind = str(self.kind.currentData() or "")
        for box in (self.crop, self.grade, self.colour):
            box.setEnabled(kind == _PRICE)
        for field in (self.what, self.place, self.life):
            field.setEnabled(kind not in {_PRICE, _WAGE})

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        for row, (text, field) in enumerate(self._fields):
            label = QLabel(text)
            label.setBuddy(field)
            field.setAccessibleName(text.replace("&", ""))
            if isinstance(field, QComboBox):
                field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
                field.setMinimumContentsLength(14)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        grid.addWidget(self.keep, len(self._fields), 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        heading = QLabel(_("A new entry"))
        heading.setObjectName("heading")
        column.addWidget(heading)
        column.addLayout(grid)
        column.addWidget(self.notice)
        column.addStretch(1)


def _refill(box: QComboBox, choices: list[tuple[str, str]]) -> None:
    chosen = box.currentData()
    box.clear()
    for key, text in choices:
        box.addItem(text, key)
    box.setCurrentIndex(max(box.findData(chosen), 0))
