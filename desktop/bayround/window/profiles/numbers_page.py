"""All numbers of a crop beside one of them in full."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSplitter, QTableView, QVBoxLayout, QWidget

from bayround.actions.profiles import CropNumbers
from bayround.window.desk import Desk
from bayround.window.parts.whole_table import WholeTable
from bayround.window.profiles.number_form import NumberForm
from bayround.window.profiles.numbers_table import NumbersModel
from bayround.words import _


class _Table(WholeTable):
    """A table in which Enter goes to the form."""

    opened = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter; the rest is the table's own."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.opened.emit()
        else:
            super().keyPressEvent(event)


class NumbersPage(QWidget):
    """Table on the left, form on the right.

    Attributes:
        changed: a number was changed.
    """

    changed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._crop = ""
        self.model = NumbersModel()
        self.table = _Table()
        self.filter = QLineEdit()
        self.form = NumberForm(desk)
        self._dress()
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 8, 8, 0)
        column.setSpacing(8)
        column.addWidget(self.filter)
        column.addWidget(self.table, 1)
        right = QWidget()
        beside = QHBoxLayout(right)
        beside.setContentsMargins(8, 8, 0, 0)
        beside.addWidget(self.form)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(left)
        split.addWidget(right)
        split.setSizes([760, 400])
        split.setChildrenCollapsible(False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(split)
        self.filter.textChanged.connect(self._narrow)
        self.table.selectionModel().currentChanged.connect(lambda *_places: self._show_chosen())
        self.table.opened.connect(lambda: self.form.value.setFocus(Qt.FocusReason.OtherFocusReason))
        self.form.left.connect(lambda: self.table.setFocus(Qt.FocusReason.OtherFocusReason))
        self.form.kept.connect(lambda _name: self.changed.emit())

    def show_numbers(self, numbers: CropNumbers) -> None:
        """Show a crop's numbers; the cursor stays on its number."""
        kept = self.form.line.name if self.form.line and numbers.crop == self._crop else ""
        self._crop = numbers.crop
        self.model.show_numbers(numbers.numbers)
        self.table.fit()
        row = max(self.model.row_of(kept), 0)
        self.table.setCurrentIndex(self.model.index(row, 0))
        self._show_chosen()

    def _dress(self) -> None:
        self.filter.setPlaceholderText(_("Filter numbers: tie, labour, published …  (Ctrl+F)"))
        self.filter.setAccessibleName(_("Filter numbers"))
        self.filter.setClearButtonEnabled(True)
        table = self.table
        table.setModel(self.model)
        table.wraps, table.left_out = {0: 32, 3: 20, 4: 32}, (4,)  # the source stands in the form too
        table.setAccessibleName(_("Numbers of the crop"))
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setTabKeyNavigation(False)
        table.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        table.verticalHeader().hide()
        header = table.horizontalHeader()
        header.setHighlightSections(False)
        header.setStretchLastSection(True)

    def _narrow(self, text: str) -> None:
        self.model.narrow(text)
        self.table.fit()
        self.table.setCurrentIndex(self.model.index(0, 0))
        self._show_chosen()

    def _show_chosen(self) -> None:
        line = self.model.line(self.table.currentIndex().row())
        if line is None or self.form.line is None or line != self.form.line:
            self.form.show_number(self._crop, line)
