"""A part to read that may be taller than its place: reached with Tab, scrolled with the arrow keys."""

from __future__ import annotations

from PySide6.QtWidgets import QScrollArea, QWidget

from bayround.window.parts.spoken import PANE


class Pane(QScrollArea):
    """Shows *inside* at its own width; *name* is what a screen reader says."""

    spoken_role = PANE

    def __init__(self, name: str, inside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidget(inside)
        self.setAccessibleName(name)
