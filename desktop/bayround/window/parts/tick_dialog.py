"""Which of several to take: a list of ticks, all of them ticked at first; Enter takes them, Escape leaves."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.window.parts.check_list import CheckList
from bayround.words import _


class TickDialog(QDialog):
    """Shown with ``open()``; hands over the keys that are ticked when they are taken."""

    def __init__(
        self,
        title: str,
        question: str,
        lines: Sequence[tuple[str, str]],
        take: Callable[[tuple[str, ...]], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setMinimumWidth(440)
        self._take = take
        label = QLabel(question)
        label.setWordWrap(True)
        self.list = CheckList(title)
        self.list.show_lines(lines, [key for key, _text in lines])
        high = self.list.sizeHintForRow(0) * min(max(len(lines), 3), 12)
        self.list.setFixedHeight(high + 2 * self.list.frameWidth() + 8)
        self.list.edited.connect(self._ticked)
        label.setBuddy(self.list)
        self.go_on = QPushButton(_("&Take these"))
        self.go_on.setDefault(True)
        self.go_on.setProperty("main", True)
        self.go_on.clicked.connect(self._accept)
        leave = QPushButton(_("Leave (Esc)"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(leave)
        row.addWidget(self.go_on)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        layout.addWidget(label)
        layout.addWidget(self.list)
        layout.addLayout(row)
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def _ticked(self) -> None:
        self.go_on.setEnabled(bool(self.list.ticked))

    def _accept(self) -> None:
        ticked = self.list.ticked
        self.accept()
        self._take(ticked)
