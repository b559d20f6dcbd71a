"""The panel at the right: what the half-keyed bay says already. Enter or F4 on a figure asks how we know."""

from __future__ import annotations

from PySide6.QtCore import QAbstractListModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QListView, QWidget

from bayround.week.visit_sheet import Panel
from bayround.window.visit.entry_model import NOWHERE, Index
from bayround.window.visit.panel_lines import LineKind, PanelLine, lines_of
from bayround.window.visit.panel_paint import LINE, PanelDelegate
from bayround.words import _


class PanelModel(QAbstractListModel):
    """The lines of the panel."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[PanelLine, ...] = ()

    def show(self, lines: tuple[PanelLine, ...]) -> None:
        """Show other lines; the cursor stays where it was when their number is the same."""
        if len(lines) == len(self.lines):
            before, self.lines = self.lines, lines
            for row, line in enumerate(lines):
                if line != before[row]:
                    self.dataChanged.emit(self.index(row), self.index(row))
            return
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """One row a line."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a line, or its words."""
        if not index.isValid():
            return None
        line = self.lines[index.row()]
        if role == LINE:
            return line
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return line.spoken
        return _("Enter: how do you know?") if role == Qt.ItemDataRole.ToolTipRole and line.figure else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Headings can't be stopped at."""
        heading = index.isValid() and self.lines[index.row()].kind is LineKind.HEADING
        return Qt.ItemFlag.NoItemFlags if heading else super().flags(index)


class SidePanel(QListView):
    """Shows a `Panel`; the arrow keys go from line to line."""

    asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines = PanelModel(self)
        self.setModel(self.lines)
        self.setItemDelegate(PanelDelegate(self))
        self.setAccessibleName(_("What this bay says so far"))
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.doubleClicked.connect(lambda index: self._ask(index))

    def show_panel(self, panel: Panel | None) -> None:
        """Show the panel of the open bay."""
        row = self.currentIndex().row()
        self.lines.show(lines_of(panel) if panel is not None else ())
        if row >= 0 and not self.currentIndex().isValid():
            self.setCurrentIndex(self.lines.index(min(row, self.lines.rowCount() - 1)))

    def show_part(self, heading: str) -> None:
        """Bring a part into sight (the words of its heading)."""
        for row, line in enumerate(self.lines.lines):
            if line.kind is LineKind.HEADING and line.title == heading:
                self.scrollTo(self.lines.index(row), QListView.ScrollHint.PositionAtTop)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and F4 ask how we know; the rest moves."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F4) and not event.modifiers():
            self._ask(self.currentIndex())
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The keyboard arrives on a line."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.lines.rowCount() > 1:
            self.setCurrentIndex(self.lines.index(1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lines wrap anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def _ask(self, index: QModelIndex) -> None:
        line = index.data(LINE)
        if isinstance(line, PanelLine) and line.figure is not None:
            self.asked.emit(line.figure)
