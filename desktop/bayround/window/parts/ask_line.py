"""One question with one line for the answer, inside a screen. Enter keeps, Escape leaves."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from bayround.window.parts.notice import Notice
from bayround.words import _


class AskLine(QFrame):
    """Hidden until something is asked; an empty answer is not taken."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("caution")
        self.question = QLabel()
        self.question.setWordWrap(True)
        self.question.setTextFormat(Qt.TextFormat.PlainText)
        self.line = QLineEdit()
        self.line.setAccessibleName(_("Answer"))
        self.notice = Notice()
        self.keep = QPushButton(_("&Keep"))
        self.keep.setProperty("main", True)
        self.keep.clicked.connect(self._accept)
        self.leave = QPushButton(_("Leave (Esc)"))
        self.leave.clicked.connect(self._leave)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.line, 1)
        row.addWidget(self.keep)
        row.addWidget(self.leave)
        layout = QVBoxLayout(self)
        layout.setSpacing(8)
        layout.addWidget(self.question)
        layout.addLayout(row)
        layout.addWidget(self.notice)
        self._keep: Callable[[str], None] = lambda _text: None
        self._left: Callable[[], None] = lambda: None
        self.hide()

    def ask(self, question: str, name: str, keep: Callable[[str], None], left: Callable[[], None]) -> None:
        """Ask; *name* says what the line takes."""
        self.question.setText(question)
        self.line.clear()
        self.line.setPlaceholderText(name)
        self.line.setAccessibleName(name)
        self.line.setAccessibleDescription(question)
        self.notice.clear()
        self._keep, self._left = keep, left
        self.show()
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps, Escape leaves."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._accept()
        elif event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def _accept(self) -> None:
        text = self.line.text().strip()
        if not text:
            self.notice.say("stop", _("A few words are needed."))
            self.line.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self._keep(text)

    def _leave(self) -> None:
        self.hide()
        self._left()
