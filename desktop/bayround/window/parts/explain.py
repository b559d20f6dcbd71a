"""“How do you know?”: the rule, the inputs and the source behind a figure."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.words import _

_WIDTH = 480


class ExplainDialog(QDialog):
    """Shows `Figure.explained`; Escape or Enter closes it."""

    def __init__(self, figure: Figure, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("How do you know?"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setMinimumWidth(_WIDTH)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        lines = figure.explained()
        heading, value = lines[0]
        title = QLabel(heading)
        title.setObjectName("quiet")
        shown = QLabel(f"{value}  {figure.says}".strip() if figure.value is not None else value)
        shown.setFont(theme.scaled(self.font(), 1.5 if figure.value is not None else 1.0, bold=True))
        shown.setWordWrap(True)
        layout.addWidget(title)
        layout.addWidget(shown)
        layout.addLayout(_grid(lines[1:]))
        layout.addStretch(1)
        close = QPushButton(_("&Close"))
        close.setDefault(True)
        close.clicked.connect(self.accept)
        layout.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self.resize(_WIDTH, layout.totalHeightForWidth(_WIDTH))
        self.setAccessibleName(f"{_('How do you know?')} {heading} {value}")
        self.setAccessibleDescription("; ".join(f"{name}: {text}" for name, text in lines[1:]))


def explain(figure: Figure, parent: QWidget) -> ExplainDialog:
    """Open the explanation of a figure above *parent* and return it."""
    dialog = ExplainDialog(figure, parent)
    dialog.open()
    return dialog


def _grid(lines: tuple[tuple[str, str], ...]) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(16)
    grid.setVerticalSpacing(8)
    grid.setColumnStretch(1, 1)
    for row, (name, text) in enumerate(lines):
        left, right = QLabel(name), QLabel(text)
        left.setObjectName("quiet")
        right.setWordWrap(True)
        right.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        grid.addWidget(left, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(right, row, 1)
    return grid
