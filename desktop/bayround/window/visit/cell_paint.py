"""How a cell looks: the value at the right, last visit's faint at the left, a sign between them for a mark."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen
from PySide6.QtWidgets import QAbstractItemView, QStyle, QStyleOptionViewItem

from bayround.window import theme
from bayround.window.visit.entry_model import CellLook, Index, Mark

MARGIN = 6
_FAINT_SIZE = 0.86


def paint_cell(painter: QPainter, option: QStyleOptionViewItem, look: CellLook, index: Index) -> None:
    """Paint one cell of an entry grid."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    rect, current = option.rect, _is_current(option, index)
    painter.fillRect(rect, QColor(_ground(option, look, index, current)))
    if look.text or look.faint:
        _paint_value(painter, option, look)
    if current:
        _frame(painter, rect, theme.now().accent, 2.0, Qt.PenStyle.SolidLine)
    painter.restore()


def _paint_value(painter: QPainter, option: QStyleOptionViewItem, look: CellLook) -> None:
    inside, colours = option.rect.adjusted(MARGIN, 0, -MARGIN, 0), theme.now()
    font = QFont(option.font)
    font.setBold(not look.shut and not look.words)
    painter.setFont(font)
    painter.setPen(QColor(colours.quiet if look.shut else colours.ink))
    side = Qt.AlignmentFlag.AlignLeft if look.words else Qt.AlignmentFlag.AlignRight
    text, wrapped = look.text, Qt.TextFlag.TextWordWrap if look.words else Qt.TextFlag.TextSingleLine
    needed = painter.fontMetrics().boundingRect(inside, int(side | wrapped), text)
    if needed.height() > option.rect.height() or needed.width() > inside.width():
        wrapped = Qt.TextFlag.TextSingleLine
        text = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, inside.width())
    painter.drawText(inside, int(side | Qt.AlignmentFlag.AlignVCenter | wrapped), text)
    sign = painter.fontMetrics().ascent() * 2 if look.mark not in (Mark.NONE, Mark.CORRECTED) else 0
    taken = painter.fontMetrics().horizontalAdvance(text) + sign
    _paint_mark(painter, option.rect, inside, painter.fontMetrics().horizontalAdvance(look.text), look.mark)
    _paint_faint(painter, option, look, inside, taken)


def _paint_faint(
    painter: QPainter, option: QStyleOptionViewItem, look: CellLook, inside: QRect, taken: int
) -> None:
    """Last visit's value, where it does not get in the way of this visit's."""
    painter.setFont(theme.scaled(option.font, _FAINT_SIZE))
    metrics = painter.fontMetrics()
    crowded = taken and metrics.horizontalAdvance(look.faint) + taken > inside.width()
    if look.faint and not look.shut and not crowded:
        painter.setPen(QColor(theme.now().quiet))
        faint, flags = look.faint, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        if look.words:
            flags |= Qt.TextFlag.TextWordWrap
        else:
            faint = metrics.elidedText(faint, Qt.TextElideMode.ElideRight, inside.width())
        painter.drawText(inside, int(flags), faint)


def _ground(option: QStyleOptionViewItem, look: CellLook, index: Index, current: bool) -> str:
    colours = theme.now()
    if look.mark is Mark.DOUBTFUL:
        return colours.ask_ground
    if look.mark is Mark.NOT_SAVED:
        return colours.urgent_ground
    if current or (option.state & QStyle.StateFlag.State_Selected and _has_keyboard(option)):
        return colours.chosen
    if look.shut:
        return colours.paper
    return colours.stripe if index.row() % 2 else colours.sheet


def _is_current(option: QStyleOptionViewItem, index: Index) -> bool:
    view = option.widget
    return isinstance(view, QAbstractItemView) and _has_keyboard(option) and view.currentIndex() == index


def _has_keyboard(option: QStyleOptionViewItem) -> bool:
    view = option.widget
    return view is not None and view.hasFocus()


def _paint_mark(painter: QPainter, rect: QRect, inside: QRect, text_width: int, mark: Mark) -> None:
    if mark is Mark.NONE:
        return
    colours = theme.now()
    size = painter.fontMetrics().ascent() * 0.8
    right = float(inside.right() - text_width - size * 0.6)
    box = QRectF(right - size, inside.center().y() - size / 2 + 0.5, size, size)
    if mark is Mark.DOUBTFUL:
        _frame(painter, rect, colours.ask, 1.5, Qt.PenStyle.DashLine)
        painter.setPen(QColor(colours.ask))
        painter.drawText(box.adjusted(-size, -size, size, size), Qt.AlignmentFlag.AlignCenter, "?")
    elif mark is Mark.LET_STAND:
        painter.setPen(QPen(QColor(colours.good), 1.8))
        painter.drawPolyline(
            [
                QPointF(box.left(), box.center().y()),
                QPointF(box.center().x() - size * 0.1, box.bottom() - size * 0.1),
                QPointF(box.right(), box.top() + size * 0.1),
            ]
        )
    elif mark is Mark.CORRECTED:
        corner, size = QPointF(rect.right(), rect.top()), size * 0.9
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours.accent))
        painter.drawPolygon([corner, corner - QPointF(size, 0), corner + QPointF(0, size)])
        painter.setBrush(Qt.BrushStyle.NoBrush)
    else:
        _frame(painter, rect, colours.urgent, 2.0, Qt.PenStyle.SolidLine)
        _not_saved_sign(painter, box, colours.urgent)


def _not_saved_sign(painter: QPainter, box: QRectF, colour: str) -> None:
    """An arrow down on a line, struck through: not yet in the file."""
    painter.setPen(QPen(QColor(colour), 1.6))
    middle = box.center().x()
    painter.drawLine(QPointF(middle, box.top()), QPointF(middle, box.bottom() - 4))
    painter.drawLine(QPointF(middle - 3, box.bottom() - 7), QPointF(middle, box.bottom() - 4))
    painter.drawLine(QPointF(middle + 3, box.bottom() - 7), QPointF(middle, box.bottom() - 4))
    painter.drawLine(QPointF(box.left(), box.bottom()), QPointF(box.right(), box.bottom()))
    painter.drawLine(box.topLeft(), box.bottomRight())


def _frame(painter: QPainter, rect: QRect, colour: str, width: float, style: Qt.PenStyle) -> None:
    painter.setPen(QPen(QColor(colour), width, style))
    half = width / 2
    painter.drawRect(QRectF(rect).adjusted(half, half, -half - 1, -half - 1))
