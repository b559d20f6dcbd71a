"""The fruit a crop should carry, age by age, beside what the farm's own past weeks propose."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QTableView, QVBoxLayout, QWidget

from bayround import words
from bayround.actions import profiles
from bayround.actions.profiles import BandRow, CropNumbers
from bayround.window.desk import Desk
from bayround.window.parts.notice import ASK, Notice
from bayround.window.profiles.number_form import NumberForm
from bayround.window.profiles.numbers_table import BASIS_WORDS, shown
from bayround.words import _

Index = QModelIndex | QPersistentModelIndex
HEADINGS = ("Age (weeks)", "Fruit/m² from", "to", "Basis", "Crop file", "Own weeks", "Loads")
_WIDEST = {"to": "000.0", "Basis": "● this farm's own", "Crop file": "10 to 30", "Own weeks": "20.0 to 30.0"}


class BandModel(QAbstractTableModel):
    """Rows are ages; the last columns are what the farm's own plantings carried."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: tuple[BandRow, ...] = ()

    def show_rows(self, rows: tuple[BandRow, ...]) -> None:
        """Show these rows."""
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of ages."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of columns."""
        return 0 if parent.isValid() else len(HEADINGS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return _(HEADINGS[section])
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell's text, all to the right but the basis."""
        if role == Qt.ItemDataRole.DisplayRole:
            return cells(self.rows[index.row()])[index.column()]
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.rows[index.row()].source
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if index.column() == 3 else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


def cells(row: BandRow) -> tuple[str, ...]:
    """Return one row of the band as texts."""
    return (
        shown(row.weeks),
        shown(row.low),
        shown(row.high),
        _(BASIS_WORDS[row.basis]),
        _range(row.file_low, row.file_high, 0),
        _range(row.proposed_low, row.proposed_high, 1),
        str(row.past_loads) if row.past_loads else words.MISSING,
    )


def _range(low: float | None, high: float | None, decimals: int) -> str:
    if low is None or high is None:
        return words.MISSING
    return _("{low} to {high}").format(low=words.number(low, decimals), high=words.number(high, decimals))


class BandPage(QWidget):
    """Table of the band, its proposal to take over, and a form for one row's numbers.

    Attributes:
        changed: the band was changed.
    """

    changed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._numbers: CropNumbers | None = None
        self.model = BandModel()
        self.table = QTableView()
        self.take = QPushButton(_("&Take the proposal over"))
        self.notice = Notice()
        self.form = NumberForm(desk)
        self._dress()
        why = QLabel(
            _(
                "No published limit was found for the fruit a crop should carry: the band is a farm setting. The proposal "
                "holds the middle eight tenths of what your own bays of this crop carried within a week and a half of that age, over- and "
                "under-loaded ones included: look at it before you take it over."
            )
        )
        why.setWordWrap(True)
        why.setObjectName("quiet")
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addWidget(why)
        left.addWidget(self.table, 1)
        left.addWidget(self.notice)
        left.addWidget(self.take, 0, Qt.AlignmentFlag.AlignLeft)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 8, 0, 0)
        layout.setSpacing(16)
        layout.addLayout(left, 5)
        layout.addWidget(self.form, 3)
        self.take.clicked.connect(self._ask)
        self.table.selectionModel().currentChanged.connect(lambda *_places: self._show_chosen())
        self.form.kept.connect(lambda _name: self.changed.emit())

    def show_numbers(self, numbers: CropNumbers) -> None:
        """Show a crop's band; the cursor stays on its cell."""
        at = self.table.currentIndex()
        self._numbers = numbers
        self.model.show_rows(numbers.band)
        self.take.setEnabled(any(row.proposed_low is not None for row in numbers.band))
        self.table.setCurrentIndex(self.model.index(max(at.row(), 0), max(at.column(), 1)))
        self._show_chosen()

    def _dress(self) -> None:
        table = self.table
        table.setModel(self.model)
        table.setAccessibleName(_("Fruit the crop should carry, by age"))
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setTabKeyNavigation(False)
        table.verticalHeader().hide()
        measure = QFontMetrics(table.font())
        table.verticalHeader().setDefaultSectionSize(measure.height() + 8)
        table.horizontalHeader().setHighlightSections(False)
        table.horizontalHeader().setStretchLastSection(True)
        for section, heading in enumerate(HEADINGS):
            texts = (_(heading), _WIDEST.get(heading, ""))
            table.setColumnWidth(section, max(measure.horizontalAdvance(text) for text in texts) + 20)

    def _show_chosen(self) -> None:
        numbers, at = self._numbers, self.table.currentIndex()
        if numbers is None or not 0 <= at.row() < len(numbers.band):
            return
        upper = at.column() == 2
        line = profiles.band_line(numbers, numbers.band[at.row()], upper)
        if line != self.form.line:
            self.form.show_number(numbers.crop, line)

    def _ask(self) -> None:
        rows = sum(1 for row in self.model.rows if row.proposed_low is not None)
        question = words.counted(
            "Take {n} row of the band over from the farm's own past weeks?",
            "Take {n} rows of the band over from the farm's own past weeks?",
            rows,
        )
        self.notice.say(
            ASK,
            question,
            ((_("Take them &over"), self._take), (_("Leave the band as it &is"), self.notice.clear)),
        )

    def _take(self) -> None:
        numbers, desk, now = self._numbers, self.desk, self.desk.now()
        self.notice.clear()
        if numbers is not None:
            self.desk.tasks.change(
                lambda: profiles.take_proposal(desk.farm, numbers.crop, numbers.band, desk.person_id, now),
                lambda _rows: self.changed.emit(),
                self.notice.refuse,
            )
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)
