"""Figures in a row; each one, pressed, answers “how do you know?”."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from bayround.figures.figure import Figure
from bayround.window.parts.explain import explain
from bayround.window.parts.flow import FlowLayout
from bayround.words import _


class FigureButton(QPushButton):
    """A figure as a flat button: pressed, or with F4, it answers “how do you know?”."""

    def __init__(self, figure: Figure, text: str, above: QWidget) -> None:
        super().__init__(text.replace("&", "&&"))
        self.setProperty("chip", True)
        self.clicked.connect(lambda: explain(figure, above))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take F4; the rest is a button's own."""
        if event.key() == Qt.Key.Key_F4:
            self.click()
        else:
            super().keyPressEvent(event)


class FigureChips(QWidget):
    """One small button a figure: its label and its value with the unit."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = FlowLayout(self, spacing=4)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_figures(self, figures: Sequence[Figure], with_words: bool = False) -> None:
        """Show these figures instead of the earlier ones, each with the word that goes with it if so wanted."""
        while (item := self._row.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for figure in figures:
            chip = self._chip(figure, with_words)
            self._row.addWidget(chip)
            chip.show()
        self.updateGeometry()

    def _chip(self, figure: Figure, with_words: bool) -> FigureButton:
        word = (figure.says or figure.missing) if with_words else ""
        text = figure.dated_text + (f", {word}" if word else "")
        chip = FigureButton(figure, f"{figure.label}  {text}", self)
        chip.setAccessibleName(f"{figure.label}: {text}")
        chip.setToolTip(_("Press, or F4, to see how this was reckoned"))
        return chip
