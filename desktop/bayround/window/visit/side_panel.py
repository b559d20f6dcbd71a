"""The panel at the right: what the half-keyed bay says already. Enter or F4 on a figure asks how we know."""

from __future__ import annotations

from PySide6.QtCore import QAbstractListModel, QModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QFont, QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from bayround.week.visit_sheet import Panel
from bayround.window import theme
from bayround.window.visit.entry_model import Index
from bayround.window.visit.panel_lines import LineKind, PanelLine, lines_of
from bayround.words import _

_LINE = Qt.ItemDataRole.UserRole
_MARGIN = 10
_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop


class PanelModel(QAbstractListModel):
    """The lines of the panel."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[PanelLine, ...] = ()

    def show(self, lines: tuple[PanelLine, ...]) -> None:
        """Show other lines; the cursor stays where it was when their number is the same."""
        if len(lines) == len(self.lines):
            self.lines = lines
            if lines:
                self.dataChanged.emit(self.index(0), self.index(len(lines) - 1))
            return
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """One row a line."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a line, or its words."""
        if not index.isValid():
            return None
        line = self.lines[index.row()]
        if role == _LINE:
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
        self.setItemDelegate(_PanelDelegate(self))
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
        line = index.data(_LINE)
        if isinstance(line, PanelLine) and line.figure is not None:
            self.asked.emit(line.figure)


class _PanelDelegate(QStyledItemDelegate):
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        line, view = index.data(_LINE), self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else option.rect.width()
        inside = QRect(0, 0, width - 2 * _MARGIN, 10_000)
        height = sum(self._part(None, option, inside, text, font) for text, font, _c in _parts(line, option.font))
        return QSize(width, height + (14 if line.kind is LineKind.HEADING else 9))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        line, colours, rect = index.data(_LINE), theme.now(), option.rect
        painter.save()
        view = option.widget
        current = view is not None and view.hasFocus() and bool(option.state & QStyle.StateFlag.State_HasFocus)
        painter.fillRect(rect, QColor(colours.chosen if current else colours.sheet))
        top = 9 if line.kind is LineKind.HEADING else 4
        inside = rect.adjusted(_MARGIN, top, -_MARGIN, 0)
        for text, font, colour in _parts(line, option.font):
            painter.setPen(QColor(colour))
            inside.setTop(inside.top() + self._part(painter, option, inside, text, font))
        if line.kind is LineKind.HEADING and index.row():
            painter.setPen(QPen(QColor(colours.line), 1))
            painter.drawLine(rect.topLeft(), rect.topRight())
        if current:
            painter.setPen(QPen(QColor(colours.accent), 2))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        painter.restore()

    @staticmethod
    def _part(painter: QPainter | None, option: QStyleOptionViewItem, inside: QRect, text: str, font: QFont) -> int:
        """Draw (or only measure) one piece of text; returns its height."""
        from PySide6.QtGui import QFontMetrics

        box = QFontMetrics(font).boundingRect(inside, _WRAP, text)
        if painter is not None:
            painter.setFont(font)
            painter.drawText(inside, _WRAP, text)
        return box.height()


def _parts(line: PanelLine, font: QFont) -> list[tuple[str, QFont, str]]:
    """Return the pieces of text of a line, from top to bottom: text, font, colour."""
    colours, small = theme.now(), theme.scaled(font, 0.9)
    if line.kind is LineKind.HEADING:
        return [(line.title, theme.scaled(font, 1.0, bold=True), colours.accent)]
    if line.kind is LineKind.QUIET:
        return [(line.plain, small, colours.quiet)]
    if line.kind is LineKind.DECISION:
        return [(line.title, theme.scaled(font, 1.0, bold=True), colours.ink), (line.plain, small, colours.ink)]
    if line.kind is LineKind.JOB:
        sign = "▲ " if line.urgent else ""
        first = (sign + line.title, small, colours.urgent if line.urgent else colours.quiet)
        return [first, (line.strong, theme.scaled(font, 1.0, bold=True), colours.ink), (line.plain, small, colours.ink)]
    parts = [(line.title, small, colours.quiet)]
    if line.strong:
        parts.append((line.strong, theme.scaled(font, 1.15, bold=True), colours.ink))
    if line.plain:
        parts.append((line.plain, small, colours.quiet))
    return parts
