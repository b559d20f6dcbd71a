"""Figures in a row; each one, pressed, answers “how do you know?”."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from bayround.figures.figure import Figure
from bayround.window.parts.explain import explain
from bayround.window.parts.flow import FlowLayout
from bayround.words import _


class FigureChips(QWidget):
    """One small button a figure: its label and its value with the unit."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = FlowLayout(self, spacing=4)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_figures(self, figures: Sequence[Figure]) -> None:
        """Show these figures instead of the earlier ones."""
        while (item := self._row.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for figure in figures:
            chip = self._chip(figure)
            self._row.addWidget(chip)
            chip.show()
        self.updateGeometry()

    def _chip(self, figure: Figure) -> QPushButton:
        chip = QPushButton(f"{figure.label}  {figure.text_with_unit}".replace("&", "&&"))
        chip.setProperty("chip", True)
        chip.setAccessibleName(f"{figure.label}: {figure.text_with_unit}")
        chip.setToolTip(_("Press to see how this was reckoned"))
        chip.clicked.connect(lambda: explain(figure, self))
        return chip
