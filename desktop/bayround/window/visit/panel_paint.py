"""How a line of the side panel looks: pieces of text from top to bottom, the value beside its name where it fits."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from bayround.window import theme
from bayround.window.visit.entry_model import Index
from bayround.window.visit.panel_lines import LineKind, PanelLine

LINE = Qt.ItemDataRole.UserRole
_MARGIN = 10
_GAP = 10
_TOP = Qt.AlignmentFlag.AlignTop


@dataclass(frozen=True, slots=True)
class _Piece:
    """One piece of text; *beside* stands on the same line as the piece before it when both fit."""

    text: str
    font: QFont
    colour: str
    right: bool = False
    beside: bool = False


class PanelDelegate(QStyledItemDelegate):
    """Measures and paints the lines."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as the wrapped text."""
        line, view = index.data(LINE), self.parent()
        width = view.viewport().width() if isinstance(view, QListView) else option.rect.width()
        pieces = _pieces(line, option.font)
        placed = _placed(pieces, QRect(0, 0, width - 2 * _MARGIN, 10_000))
        bottom = max((box.bottom() + 1 for _piece, box in placed), default=0)
        return QSize(width, bottom + (14 if line.kind is LineKind.HEADING else 8))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a line; the one with the keyboard is framed."""
        line, colours, rect, view = index.data(LINE), theme.now(), option.rect, option.widget
        focus = bool(option.state & QStyle.StateFlag.State_HasFocus) and view is not None and view.hasFocus()
        painter.save()
        painter.fillRect(rect, QColor(colours.chosen if focus else colours.sheet))
        inside = rect.adjusted(_MARGIN, 9 if line.kind is LineKind.HEADING else 4, -_MARGIN, 0)
        for piece, box in _placed(_pieces(line, option.font), inside):
            painter.setFont(piece.font)
            painter.setPen(QColor(piece.colour))
            painter.drawText(box, _flags(piece), piece.text)
        if line.kind is LineKind.HEADING and index.row():
            painter.setPen(QPen(QColor(colours.line), 1))
            painter.drawLine(rect.topLeft(), rect.topRight())
        if focus:
            painter.setPen(QPen(QColor(colours.accent), 2))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        painter.restore()


def _flags(piece: _Piece) -> int:
    side = Qt.AlignmentFlag.AlignRight if piece.right else Qt.AlignmentFlag.AlignLeft
    return int(side.value) | int(_TOP.value) | int(Qt.TextFlag.TextWordWrap.value)


def _placed(pieces: list[_Piece], inside: QRect) -> list[tuple[_Piece, QRect]]:
    """Return each piece with the box it is painted in."""
    placed: list[tuple[_Piece, QRect]] = []
    top, before, used = inside.top(), inside.top(), 0
    for piece in pieces:
        metrics = QFontMetrics(piece.font)
        width = metrics.horizontalAdvance(piece.text)
        fits = piece.beside and used + _GAP + width <= inside.width()
        start = before if fits else top
        room = QRect(inside.left(), start, inside.width(), 10_000)
        height = metrics.boundingRect(room, _flags(piece), piece.text).height()
        placed.append((piece, QRect(inside.left(), start, inside.width(), height)))
        before, top, used = start, max(top, start + height), width
    return placed


def _pieces(line: PanelLine, font: QFont) -> list[_Piece]:
    colours, small, bold = theme.now(), theme.scaled(font, 0.9), theme.scaled(font, 1.0, bold=True)
    if line.kind is LineKind.HEADING:
        return [_Piece(line.title, bold, colours.accent)]
    if line.kind is LineKind.QUIET:
        return [_Piece(line.plain, small, colours.quiet)]
    if line.kind is LineKind.DECISION:
        return [_Piece(line.title, bold, colours.ink), _Piece(line.plain, small, colours.ink)]
    if line.kind is LineKind.JOB:
        first = _Piece(f"▲ {line.title}" if line.urgent else line.title, small, colours.quiet)
        if line.urgent:
            first = _Piece(first.text, theme.scaled(font, 0.9, bold=True), colours.urgent)
        return [first, _Piece(line.strong, bold, colours.ink), _Piece(line.plain, small, colours.ink)]
    pieces = [_Piece(line.title, small, colours.quiet)]
    if line.strong:
        value = theme.scaled(font, 1.1, bold=True)
        pieces.append(_Piece(line.strong, value, colours.ink, right=True, beside=True))
    if line.plain:
        pieces.append(_Piece(line.plain, small, colours.quiet, right=bool(line.strong)))
    return pieces
