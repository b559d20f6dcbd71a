"""Paints page descriptions (`paper.pages`, reached through `actions.sheets`) into a PDF with embedded fonts."""

from __future__ import annotations

from PySide6.QtCore import QBuffer, QByteArray, QCoreApplication, QIODevice, QMarginsF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)

from bayround.actions.sheets import Box, Document, Item, Line, Text
from bayround.facts.problems import Problem
from bayround.window.application import application
from bayround.words import _

_DOTS_AN_INCH = 1200
_DOTS_A_MM = _DOTS_AN_INCH / 25.4
_FACES = ("DejaVu Sans", "Segoe UI", "Helvetica Neue", "Arial", "Liberation Sans")
_SMALLEST_PT = 4.0
_ACROSS = {
    "left": Qt.AlignmentFlag.AlignLeft,
    "right": Qt.AlignmentFlag.AlignRight,
    "center": Qt.AlignmentFlag.AlignHCenter,
}
_DOWN = {
    "top": Qt.AlignmentFlag.AlignTop,
    "middle": Qt.AlignmentFlag.AlignVCenter,
    "bottom": Qt.AlignmentFlag.AlignBottom,
}


def paint_pdf(document: Document) -> bytes:
    """Return the document as a PDF file.

    Raises:
        Problem: when there is no font to write with.
    """
    if QCoreApplication.instance() is None:
        application()  # an open window has one, with a look that is not this thread's to choose
    if not QFontDatabase.families():
        raise Problem(
            _("There is no font on this computer."), to_do=_("Install one, such as fonts-dejavu-core.")
        )
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    size = QPageSize(
        QSizeF(document.paper.width_mm, document.paper.height_mm),
        QPageSize.Unit.Millimeter,
        document.paper.name,
    )
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF()))
    writer.setResolution(_DOTS_AN_INCH)
    writer.setTitle(document.title)
    writer.setCreator("Bayround")
    painter = QPainter(writer)
    try:
        for number, page in enumerate(document.pages):
            if number:
                writer.newPage()
            for item in page.items:
                _paint(painter, item)
    finally:
        painter.end()
    buffer.close()
    return bytes(data.data())


def _paint(painter: QPainter, item: Item) -> None:
    if isinstance(item, Text):
        _text(painter, item)
    elif isinstance(item, Line):
        painter.setPen(_pen(item.weight_mm))
        painter.drawLine(
            round(item.x * _DOTS_A_MM),
            round(item.y * _DOTS_A_MM),
            round(item.to_x * _DOTS_A_MM),
            round(item.to_y * _DOTS_A_MM),
        )
    else:
        _box(painter, item)


def _box(painter: QPainter, item: Box) -> None:
    area = _area(item.x, item.y, item.width, item.height)
    if item.ground is not None:
        grey = round(item.ground * 255)
        painter.fillRect(area, QColor(grey, grey, grey))
    painter.setPen(_pen(item.weight_mm))
    painter.drawRect(area)


def _text(painter: QPainter, item: Text) -> None:
    area = _area(item.x, item.y, item.width, item.height)
    flags = int(_ACROSS[item.align] | _DOWN[item.stand])
    if item.wrap:
        flags |= int(Qt.TextFlag.TextWordWrap)
    else:
        flags |= int(Qt.TextFlag.TextSingleLine)
    size = item.size_pt
    font = _font(size, item.bold)
    while size > _SMALLEST_PT and not _fits(font, painter, area, flags, item.text):
        size -= 0.5
        font = _font(size, item.bold)
    painter.setFont(font)
    painter.setPen(QPen(QColor("black")))
    painter.drawText(area, flags, item.text)


def _fits(font: QFont, painter: QPainter, area: QRectF, flags: int, text: str) -> bool:
    device = painter.device()
    taken = QFontMetricsF(font, device).boundingRect(area, flags, text)
    return taken.width() <= area.width() + 1 and taken.height() <= area.height() * 1.15 + 1


def _font(size_pt: float, bold: bool) -> QFont:
    font = QFont()
    font.setFamilies(list(_FACES))
    font.setStyleHint(QFont.StyleHint.SansSerif)
    font.setPointSizeF(size_pt)
    font.setBold(bold)
    return font


def _pen(weight_mm: float) -> QPen:
    pen = QPen(QColor("black"))
    pen.setWidthF(weight_mm * _DOTS_A_MM)
    return pen


def _area(x: float, y: float, width: float, height: float) -> QRectF:
    return QRectF(x * _DOTS_A_MM, y * _DOTS_A_MM, width * _DOTS_A_MM, height * _DOTS_A_MM)
