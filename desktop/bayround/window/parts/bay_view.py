"""The bay table with its filter line and its choice of columns; Enter opens a bay, F4 explains a figure."""

from __future__ import annotations

import math

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QHeaderView, QLineEdit, QTableView, QVBoxLayout, QWidget

from bayround.week.columns import CLIMATE, FRUIT, HEIGHTS, INTERVALS, PESTS, PICKS, WEEDS
from bayround.week.snapshot import BayWeek, WeekSnapshot
from bayround.window import theme
from bayround.window.parts.bay_table import BayTableModel, columns_of
from bayround.window.parts.explain import explain
from bayround.window.parts.short_label import ShortLabel
from bayround.window.parts.whole_table import AROUND, fit_beside_the_scroll_bar, heighten
from bayround.words import _

SINCE = "since"
_VIEWS = (
    ("overview", "Overview"),
    (HEIGHTS, "Heights"),
    (FRUIT, "Fruit"),
    (PESTS, "Pests and disease"),
    (WEEDS, "Weeds"),
    (PICKS, "Picks"),
    (CLIMATE, "Heat, air and light"),
    (INTERVALS, "Treatments and intervals"),
    (SINCE, "Since last week"),
    ("all", "All columns"),
)


_WIDEST = 240
_WIDEST_SHARE = 168
_NARROWEST = 92
_GIVE_WAY = ("incidence_of", "house", "load_verdict")  # to several lines, to fit beside the map


class _Table(QTableView):
    """A table in which Enter opens the bay, F4 explains the cell and F7 sorts by its column."""

    opened = Signal()
    asked_why = Signal()
    asked_order = Signal()
    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Tell that there is more or less room."""
        super().resizeEvent(event)
        self.resized.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, F4 and F7; the rest is the table's own."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.opened.emit()
        elif event.key() == Qt.Key.Key_F4:
            self.asked_why.emit()
        elif event.key() == Qt.Key.Key_F7:
            self.asked_order.emit()
        else:
            super().keyPressEvent(event)


class BayView(QWidget):
    """Filter, column choice and table of the bays of one week.

    Attributes:
        opened: the id of a bay that a person opened.
        moved: the id of the bay on which the cursor stands.
    """

    opened = Signal(str)
    moved = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = BayTableModel(columns_of("overview"))
        self._natural: list[int] = []
        self._headings: list[int] = []
        self.filter = QLineEdit()
        self.filter.setPlaceholderText(_("Filter bays: house, crop, organism …  (Ctrl+F)"))
        self.filter.setAccessibleName(_("Filter bays"))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self._narrow)
        self.columns = QComboBox()
        self.columns.setAccessibleName(_("Columns shown"))
        for key, title in _VIEWS:
            self.columns.addItem(_(title), key)
        self.columns.currentIndexChanged.connect(self._choose_columns)
        self.order = ShortLabel()
        self.order.setObjectName("quiet")
        self.table = self._build_table()
        self._say_order()
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.filter, 1)
        top.addWidget(self.columns)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.order)

    def show_week(self, snapshot: WeekSnapshot) -> None:
        """Show the bays of a week; the cursor stays on its bay."""
        kept = self.bay_id
        column = max(self.table.currentIndex().column(), 0)
        self.model.show(snapshot.bays)
        self._fit()
        self.choose(kept, column)

    @property
    def wanted_width(self) -> int:
        """How wide the columns of the first view want to be together, the longest texts on several lines."""
        widths = [min(width, _WIDEST_SHARE) for width in self._natural]
        return sum(widths) + 2 * self.table.frameWidth() + 24

    @property
    def bay_id(self) -> str:
        """Id of the bay under the cursor, or nothing."""
        bay_week = self.current
        return bay_week.bay.id if bay_week else ""

    @property
    def current(self) -> BayWeek | None:
        """The bay under the cursor."""
        return self.model.bay_week(self.table.currentIndex().row())

    def show_view(self, view: str) -> None:
        """Show a set of columns by its key."""
        self.columns.setCurrentIndex(max(self.columns.findData(view), 0))

    def choose(self, bay_id: str, column: int | None = None) -> None:
        """Put the cursor on a bay, or on the first row when it isn't shown."""
        row = max(self.model.row_of(bay_id), 0)
        if self.model.rowCount():
            at = max(self.table.currentIndex().column(), 0) if column is None else column
            self.table.setCurrentIndex(self.model.index(row, min(at, self.model.columnCount() - 1)))

    def _build_table(self) -> _Table:
        table = _Table()
        table.setModel(self.model)
        table.setAccessibleName(_("Bays of the week"))
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setSortingEnabled(True)
        table.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        table.setTabKeyNavigation(False)
        table.verticalHeader().hide()
        header = table.horizontalHeader()
        header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        header.setSortIndicatorClearable(True)
        header.setHighlightSections(False)
        header.sortIndicatorChanged.connect(lambda _section, _order: self._say_order())
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        table.resized.connect(self._give_way)
        table.opened.connect(self._open)
        table.asked_why.connect(self._explain)
        table.asked_order.connect(self._next_order)
        table.doubleClicked.connect(self._open)
        table.selectionModel().currentChanged.connect(self._moved)
        return table

    def _fit(self) -> None:
        header_font = self.table.horizontalHeader().font()
        measure, head = QFontMetrics(self.table.font()), QFontMetrics(header_font)
        bold = QFontMetrics(theme.scaled(self.table.font(), 1.0, bold=True))
        self.table.verticalHeader().setDefaultSectionSize(measure.height() + 8)
        self._natural, self._headings = [], []
        for section in range(self.model.columnCount()):
            column = self.model.column(section)
            title = str(self.model.headerData(section, Qt.Orientation.Horizontal))
            widest = max(head.horizontalAdvance(line) for line in title.split("\n")) + 4
            self._headings.append(widest + 12)
            for row in range(min(self.model.rowCount(), 300)):
                text = self.model.data(self.model.index(row, section)) or ""
                mark = self.model.data(self.model.index(row, section), Qt.ItemDataRole.DecorationRole)
                room = mark.deviceIndependentSize().width() + 12 if mark is not None else 0
                wanted = (bold if column.right else measure).horizontalAdvance(text) + 2
                widest = max(widest, wanted + math.ceil(room))
            self._natural.append(min(widest + (12 if column.right else 18), _WIDEST))
        self._give_way()

    def _give_way(self) -> None:
        """Make texts of the overview narrower until all of its columns find room."""
        fit_beside_the_scroll_bar(self.table, self._share_out)

    def _share_out(self, room: int) -> None:
        widths = list(self._natural)
        if self.columns.currentData() == "overview" and widths:
            too_much = sum(widths) - room
            for column_id in _GIVE_WAY:
                place = next(at for at in range(len(widths)) if self.model.column(at).id == column_id)
                least = max(_NARROWEST, self._headings[place], self._longest_word(place))
                given = max(0, min(too_much, widths[place] - least))
                widths[place] -= given
                too_much -= given
        for section, width in enumerate(widths):
            self.table.setColumnWidth(section, width)
        words = [at for at in range(len(widths)) if not self.model.column(at).right]
        heighten(self.table, words)

    def _longest_word(self, section: int) -> int:
        """Return the width of the longest word in a column: the rest can go to another line."""
        measure = QFontMetrics(self.table.font())
        rows = range(min(self.model.rowCount(), 300))
        texts = (str(self.model.data(self.model.index(row, section)) or "") for row in rows)
        words = {word for text in texts for word in text.split()}
        return max(map(measure.horizontalAdvance, words), default=0) + AROUND

    def _narrow(self, text: str) -> None:
        kept = self.bay_id
        self.model.narrow(text)
        self.choose(kept)

    def _choose_columns(self, _place: int) -> None:
        kept = self.bay_id
        self.table.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        view = str(self.columns.currentData())
        self.table.horizontalHeader().setStretchLastSection(view == SINCE)
        self.model.show_columns(columns_of(view))
        self._fit()
        self.choose(kept, 0)

    def _open(self) -> None:
        if self.bay_id:
            self.opened.emit(self.bay_id)

    def _explain(self) -> None:
        figure = self.model.figure_at(self.table.currentIndex())
        if figure is not None:
            explain(figure, self)

    def _next_order(self) -> None:
        """Sort by the column under the cursor, then the other way round, then worst first again."""
        header, at = self.table.horizontalHeader(), self.table.currentIndex()
        kept, column = self.bay_id, max(at.column(), 0)
        if header.sortIndicatorSection() != column:
            header.setSortIndicator(column, Qt.SortOrder.AscendingOrder)
        elif header.sortIndicatorOrder() == Qt.SortOrder.AscendingOrder:
            header.setSortIndicator(column, Qt.SortOrder.DescendingOrder)
        else:
            header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.choose(kept, column)

    def _say_order(self) -> None:
        header = self.table.horizontalHeader()
        section = header.sortIndicatorSection()
        if not 0 <= section < self.model.columnCount():
            said = _("Worst first: late rounds, urgent jobs, jobs due, days since visit. F7: by this column.")
        else:
            rising = header.sortIndicatorOrder() == Qt.SortOrder.AscendingOrder
            text = _("By {column}, lowest first.") if rising else _("By {column}, highest first.")
            said = text.format(column=self.model.column(section).title)
            said += " " + (_("F7: the other way round.") if rising else _("F7: worst first."))
        self.order.setText(said)

    def _moved(self, now: QModelIndex, before: QModelIndex) -> None:
        if now.row() != before.row() and self.bay_id:
            self.moved.emit(self.bay_id)
