"""The program's own icons, drawn in any colour from the line drawings under ``resources/icons``."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap

from bayround import places

_DRAWN_IN = "#000000"


def icon(name: str, colour: str, chosen_colour: str = "") -> QIcon:
    """Return an icon in one colour, and in another while its button is chosen."""
    drawn = QIcon()
    drawn.addPixmap(picture(name, colour), QIcon.Mode.Normal, QIcon.State.Off)
    drawn.addPixmap(picture(name, chosen_colour or colour), QIcon.Mode.Normal, QIcon.State.On)
    return drawn


def picture(name: str, colour: str = _DRAWN_IN, pixels: int = 64) -> QPixmap:
    """Return a line drawing as a square picture."""
    from PySide6.QtSvg import QSvgRenderer

    text = (places.resources_dir() / "icons" / f"{name}.svg").read_text(encoding="utf-8")
    renderer = QSvgRenderer(QByteArray(text.replace(_DRAWN_IN, colour).encode()))
    pixmap = QPixmap(pixels, pixels)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    renderer.render(painter, QRectF(0, 0, pixels, pixels))
    painter.end()
    return pixmap
