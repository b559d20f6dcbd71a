"""How many urgent jobs a bay has, as a small drawing beside a number: a triangle and the count."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPixmap
from PySide6.QtWidgets import QApplication

from bayround.window import theme

_SCALE = 2.0


def text(count: int) -> str:
    """Return the mark in letters."""
    return f"▲{count}"


def urgent_mark(count: int) -> QPixmap:
    """Return the mark in the colour of what is urgent, sharp also on screens with small pixels."""
    font = QFont(theme.scaled(QApplication.font(), 1.0, bold=True))
    measure = QFontMetricsF(font)
    width, height = measure.horizontalAdvance(text(count)) + 1, measure.height()
    drawn = QPixmap(round(width * _SCALE), round(height * _SCALE))
    drawn.setDevicePixelRatio(_SCALE)
    drawn.fill(Qt.GlobalColor.transparent)
    painter = QPainter(drawn)
    painter.setFont(font)
    painter.setPen(QColor(theme.now().urgent))
    painter.drawText(QRectF(0, 0, width, height), Qt.AlignmentFlag.AlignCenter, text(count))
    painter.end()
    return drawn
