"""Which texts do not stand whole on the screen. A tool tip does not count: nobody holds a pointer over every cell.

Parts of Qt are measured by their own size hints; what our painters draw is measured as it is drawn: `Watch` listens
to every text that is shortened or drawn while the window paints itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from PySide6.QtCore import QModelIndex, QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetrics, QFontMetricsF, QPainter, QTextOption
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QListView,
    QScrollArea,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionComboBox,
    QStyleOptionViewItem,
    QTabBar,
    QTableView,
    QTreeView,
    QWidget,
)

EDGE = 1
"""Pixels of rounding let pass."""


def cut_texts(window: QWidget, painted: bool = True) -> list[str]:
    """Return what is cut off in *window* and how, each once; without *painted* only of Qt's own parts."""
    found = [
        *_labels(window),
        *_buttons(window),
        *_choices(window),
        *_lines(window),
        *_tabs(window),
        *_headings(window),
        *_cells(window),
        *_outside(window),
    ]
    with watched() as drawn:
        if painted:
            window.grab()
    return list(dict.fromkeys([*found, *(f"drawn: {text}" for text in drawn)]))


def _shown(window: QWidget, kind: type[Any]) -> list[Any]:
    parts = window.findChildren(kind)
    return [part for part in (*parts, window) if isinstance(part, kind) and part.isVisible()]


def _labels(window: QWidget) -> Iterator[str]:
    for part in _shown(window, QLabel):
        if not part.text() or part.pixmap().width():
            continue
        needed = part.heightForWidth(part.width()) if part.wordWrap() else part.sizeHint().height()
        too_wide = part.sizeHint().width() > part.width() + EDGE
        if part.wordWrap():
            too_wide = part.minimumSizeHint().width() > part.width() + EDGE
        if too_wide or needed > part.height() + EDGE or (part.text().endswith("…") and part.toolTip()):
            yield f"label: {part.text()}"


def _buttons(window: QWidget) -> Iterator[str]:
    for part in _shown(window, QAbstractButton):
        if part.text() and part.sizeHint().width() > part.width() + EDGE:
            yield f"button: {part.text()}"


def _choices(window: QWidget) -> Iterator[str]:
    for part in _shown(window, QComboBox):
        option = QStyleOptionComboBox()
        part.initStyleOption(option)
        field = part.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, part
        )
        measure = QFontMetrics(part.font())
        room = field.width() - (part.iconSize().width() + 4 if part.itemIcon(0).isNull() is False else 0)
        text = part.lineEdit().text() if part.isEditable() else part.currentText()
        if measure.horizontalAdvance(text) > room + EDGE:
            yield f"choice: {text}"
        items = [part.itemText(place) for place in range(part.count())]
        widest = max(items, key=measure.horizontalAdvance, default="")
        if measure.horizontalAdvance(widest) > part.width() - 24 and not _fits_the_list(part):
            yield f"item of a choice: {widest}"


def _fits_the_list(part: QComboBox) -> bool:
    """Its list is as wide as the choice itself, or as the list asks to be (as seen with PySide6 6.12)."""
    view = part.view()
    return view.sizeHintForColumn(part.modelColumn()) + 4 <= max(part.width(), view.minimumWidth())


def _lines(window: QWidget) -> Iterator[str]:
    for part in _shown(window, QLineEdit):
        if isinstance(part.parent(), QComboBox | QAbstractItemView):
            continue
        text = part.displayText() or part.placeholderText()
        room = part.width() - 2 * 7 - 4 - (20 if part.isClearButtonEnabled() and part.text() else 0)
        if QFontMetrics(part.font()).horizontalAdvance(text) > room + EDGE:
            yield f"line: {text}"


def _tabs(window: QWidget) -> Iterator[str]:
    for bar in _shown(window, QTabBar):
        for place in range(bar.count()):
            measure = QFontMetrics(bar.font())
            box = bar.tabRect(place)
            text = bar.tabText(place).replace("&", "")
            if measure.horizontalAdvance(text) + 8 > box.width() or box.right() > bar.width():
                yield f"tab: {text}"


def _headings(window: QWidget) -> Iterator[str]:
    for header in _shown(window, QHeaderView):
        model = header.model()
        if model is None or header.orientation() is not Qt.Orientation.Horizontal:
            continue
        measure, padding = QFontMetrics(_heading_font(header)), 8 if header.styleSheet() else 12
        wraps = bool(header.defaultAlignment() & Qt.TextFlag.TextWordWrap)
        for section in range(header.count()):
            text = str(model.headerData(section, Qt.Orientation.Horizontal) or "")
            room = header.sectionSize(section) - padding
            if header.isSectionHidden(section) or not text:
                continue
            flags = int(Qt.TextFlag.TextWordWrap) if wraps else 0
            box = measure.boundingRect(QRect(0, 0, room, 10_000), flags, text)
            if box.width() > room + EDGE or box.height() > header.height() - 7:
                yield f"heading: {text}"


def _heading_font(header: QHeaderView) -> QFont:
    """Return the font of headings; those of the Visit screen say their size in a style sheet of their own."""
    font = QFont(header.font())
    if own := re.search(r"font-size: ([\d.]+)pt", header.styleSheet()):
        font.setPointSizeF(float(own.group(1)))
    return font


def _cells(window: QWidget) -> Iterator[str]:
    for view in _shown(window, QAbstractItemView):
        if isinstance(view, QHeaderView) or view.model() is None:
            continue
        for index in _in_sight(view):
            text = str(index.data(Qt.ItemDataRole.DisplayRole) or "")
            if text and not _stands_whole(view, index):
                yield f"cell: {text}"


def _in_sight(view: QAbstractItemView) -> Iterator[QModelIndex]:
    model, port = view.model(), view.viewport().rect()
    roots = [QModelIndex()]
    while roots:
        root = roots.pop()
        for row in _rows_in_sight(view, model.rowCount(root)):
            for column in range(1 if isinstance(view, QListView) else model.columnCount(root)):
                index = model.index(row, column, root)
                box = view.visualRect(index)
                if box.width() > 0 and box.height() > 0 and box.intersects(port):
                    yield index
            if isinstance(view, QTreeView) and model.hasChildren(model.index(row, 0, root)):
                roots.append(model.index(row, 0, root))


def _rows_in_sight(view: QAbstractItemView, count: int) -> range:
    if not isinstance(view, QTableView) or not count:
        return range(count)
    last = view.rowAt(view.viewport().height() - 1)
    return range(max(view.rowAt(0), 0), (last if last >= 0 else count - 1) + 1)


def _stands_whole(view: QAbstractItemView, index: QModelIndex) -> bool:
    delegate = view.itemDelegateForIndex(index)
    if not isinstance(delegate, QStyledItemDelegate) or "paint" in _own_methods(delegate):
        return True  # `Watch` hears what it draws
    option = QStyleOptionViewItem()
    view.initViewItemOption(option)
    option.rect = view.visualRect(index)
    delegate.initStyleOption(option, index)
    look = view.style()
    room = look.subElementRect(QStyle.SubElement.SE_ItemViewItemText, option, view)
    margin = look.pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin, option, view) + 1
    return _takes(option.text, option.fontMetrics, room.adjusted(margin, 0, -margin, 0), _wraps(view))


def _wraps(view: QAbstractItemView) -> bool:
    return isinstance(view, QTableView | QListView) and view.wordWrap()


def _takes(text: str, measure: QFontMetrics, room: QRect, wraps: bool) -> bool:
    """Tell whether Qt's own painter has the room for a text (it draws no line that does not stand whole)."""
    flags = int(Qt.TextFlag.TextWordWrap) if wraps else 0
    needed = measure.boundingRect(QRect(0, 0, room.width(), 100_000), flags, text)
    return needed.width() <= room.width() + EDGE and needed.height() <= room.height() + EDGE


def _own_methods(delegate: QStyledItemDelegate) -> set[str]:
    kinds = type(delegate).__mro__
    return {name for kind in kinds[: kinds.index(QStyledItemDelegate)] for name in kind.__dict__}


def _outside(window: QWidget) -> Iterator[str]:
    """Parts pushed out of their place, and parts for which one would have to scroll sideways."""
    for part in window.findChildren(QWidget):
        if not part.isVisible() or not isinstance(part, QLabel | QAbstractButton | QComboBox | QLineEdit):
            continue
        text = part.currentText() if isinstance(part, QComboBox) else part.text()
        scroller = _scroller(part)
        if scroller is None:
            hidden = part.visibleRegion().boundingRect() != part.rect()
            if text and hidden and not isinstance(part.parent(), QAbstractItemView | QTabBar):
                yield f"pushed out: {text}"
        elif isinstance(scroller, QScrollArea):
            port = scroller.viewport()
            left = part.mapTo(port, QPoint(0, 0)).x()
            if text and (left < 0 or left + part.width() > port.width() + EDGE):
                yield f"beside the pane: {text}"


def _scroller(part: QWidget) -> QAbstractScrollArea | None:
    above = part.parentWidget()
    while above is not None and not isinstance(above, QAbstractScrollArea):
        above = above.parentWidget()
    return above


@contextmanager
def watched() -> Iterator[list[str]]:
    """Collect what painters shorten, and what they draw into too small a box or over the edge."""
    cut: list[str] = []
    kept = (QFontMetrics.elidedText, QFontMetricsF.elidedText, QPainter.drawText)

    def shortening(original: Any) -> Any:
        def elided(self: Any, text: str, *rest: Any) -> str:
            shown: str = original(self, text, *rest)
            if shown != text:
                cut.append(text)
            return shown

        return elided

    def draw(self: QPainter, *given: Any) -> Any:
        if not _draws_whole(self, given):
            cut.append(next(str(one) for one in given if isinstance(one, str)))
        return kept[2](self, *given)

    QFontMetrics.elidedText = shortening(kept[0])  # type: ignore[method-assign]
    QFontMetricsF.elidedText = shortening(kept[1])  # type: ignore[method-assign]
    QPainter.drawText = draw  # type: ignore[assignment,method-assign]
    try:
        yield cut
    finally:
        QFontMetrics.elidedText, QFontMetricsF.elidedText, QPainter.drawText = kept  # type: ignore[method-assign]


def _draws_whole(painter: QPainter, given: tuple[Any, ...]) -> bool:
    text = next(str(one) for one in given if isinstance(one, str))
    measure = QFontMetricsF(painter.font())
    first = given[0]
    if isinstance(first, QRect | QRectF):
        option = given[-1] if isinstance(given[-1], QTextOption) else None
        flags = int(option.alignment()) if option is not None else _number(given[1])
        if flags & int(Qt.TextFlag.TextDontClip):
            return True
        box = QRectF(first)
        needed = measure.boundingRect(QRectF(0, 0, box.width(), 100_000), flags, text)
        return needed.width() <= box.width() + 1.5 and needed.height() <= box.height() + 1.5
    if isinstance(first, QPoint | QPointF):
        start = painter.worldTransform().map(QPointF(first))
        edge = painter.window().right() + 1
        return start.x() >= -1 and start.x() + measure.horizontalAdvance(text) <= edge + 1
    return True


def _number(flags: Any) -> int:
    return flags if isinstance(flags, int) else int(flags.value)
