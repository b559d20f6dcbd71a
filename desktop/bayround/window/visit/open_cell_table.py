"""A table whose open cell is never lost: not by a click, a page change, a reset, or keys that go astray."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetrics, QHideEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication, QHeaderView, QTableView, QWidget

from bayround.window import theme
from bayround.window.parts.grid_keys import commit_open_editor, open_editor
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.visit.cell_delegate import CellDelegate
from bayround.window.visit.cell_paint import MARGIN
from bayround.window.visit.entry_model import EntryModel
from bayround.window.visit.table_looks import fit_headings, fit_rows, shared_widths

_AROUND_NAME = 15
"""Pixels beside the name of a row: the padding and the edge of the style sheet, and two of air."""


class OpenCellTable(QTableView):
    """Keeps what stands in its open cell whatever happens; a refused number stays open.

    Signals:
        said: a quiet line for the person.
    """

    said = Signal(str)

    def __init__(self, model: EntryModel, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.entries = model
        self.shares: tuple[int, ...] = ()
        """Widths of the columns in parts of the whole; without them all are even."""
        self.cells = CellDelegate(self)
        self.setItemDelegate(self.cells)
        self.setModel(model)
        self.setAccessibleName(name)
        self.setEditTriggers(QAbstractItemView.EditTrigger.DoubleClicked)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setTabKeyNavigation(True)
        self.setWordWrap(False)
        self._set_sizes()
        self.cells.left.connect(self.commit_open)
        model.modelAboutToBeReset.connect(self.commit_open)
        model.said.connect(self.said)
        model.modelReset.connect(self._make_room_for_bold)
        model.dataChanged.connect(lambda *_where: self.fit_rows())

    def _set_sizes(self) -> None:
        down, across = self.verticalHeader(), self.horizontalHeader()
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.least_row_height = max(24, self.fontMetrics().height() + 8)
        down.setDefaultSectionSize(self.least_row_height)
        down.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        down.setStyleSheet("QHeaderView::section { border-bottom: 1px solid palette(mid); }")
        across.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        across.setHighlightSections(False)
        across.setDefaultAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width out among the columns; headings get smaller where they would be cut."""
        super().resizeEvent(event)
        self.share_width()

    def share_width(self) -> None:
        """Give each column its share, and room for its texts from columns that have more than they need."""
        if self.shares:
            for column, width in enumerate(shared_widths(self, self.entries, self.shares)):
                self.setColumnWidth(column, width)
            self.fit_rows()
        fit_headings(self)
        self._make_room_for_bold()

    def _make_room_for_bold(self) -> None:
        """The name of the row in hand is bold: the names keep room for that, or it would be cut."""
        if self.verticalHeader().isHidden():
            return
        bold = QFontMetrics(theme.scaled(self.verticalHeader().font(), 1.0, bold=True))
        rows, names = range(self.entries.rowCount()), Qt.Orientation.Vertical
        widest = max(
            (bold.horizontalAdvance(str(self.entries.headerData(row, names))) for row in rows), default=0
        )
        self.verticalHeader().setMinimumWidth(widest + _AROUND_NAME)

    def fit_rows(self) -> None:
        """Let long texts stand on several lines."""
        if self.shares:
            fit_rows(self, self.entries, MARGIN)

    def commit_open(self) -> bool:
        """Keep what stands in the open editor; false when the number is refused and it stays open."""
        editor = open_editor(self)
        if commit_open_editor(self):
            return True
        if isinstance(editor, NumberEditor):
            self.said.emit(editor.refusal())
        return False

    def open_cell(self) -> QModelIndex:
        """Return the cell that is being typed in; invalid when none is."""
        return self.currentIndex() if open_editor(self) is not None else QModelIndex()

    def hideEvent(self, event: QHideEvent) -> None:
        """A page that goes away keeps what stands in its open editor."""
        self.commit_open()
        super().hideEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click elsewhere keeps the open number; a refused one keeps the cell."""
        if self.commit_open():
            super().mousePressEvent(event)

    def goes_to_editor(self, event: QKeyEvent) -> bool:
        """While a cell is open its editor has every key, also one that reached the grid."""
        editor = open_editor(self)
        if editor is None:
            return False
        editor.setFocus(Qt.FocusReason.OtherFocusReason)
        QApplication.sendEvent(editor, event)
        return True
