"""A notice inside a screen: a question, a refusal or good news, in words, with its answers as buttons."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.facts.problems import Problem

ASK, STOP, GOOD = "ask", "stop", "good"
_SIGNS = {ASK: "?", STOP: "✕", GOOD: "✓"}

Answer = tuple[str, Callable[[], None]]


def make_room(dialog: QDialog) -> None:
    """Let a dialog grow for the notice in it, so that nothing is squeezed; it never shrinks under the hand."""
    layout = dialog.layout()
    if layout is not None:
        layout.activate()
        wanted = max(layout.totalHeightForWidth(dialog.width()), layout.totalMinimumSize().height())
        dialog.resize(dialog.width(), max(dialog.height(), wanted))


class Notice(QFrame):
    """Hidden until there is something to say; a sign says the kind as well as the colour."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._sign = QLabel()
        self._sign.setObjectName("heading")
        self.text = QLabel()
        self.text.setWordWrap(True)
        self.text.setTextFormat(Qt.TextFormat.PlainText)
        self._buttons = QHBoxLayout()
        self._buttons.setSpacing(8)
        column = QVBoxLayout()
        column.setSpacing(8)
        column.addWidget(self.text)
        column.addLayout(self._buttons)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(16)
        layout.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        layout.addLayout(column, 1)
        self.hide()

    @property
    def answers(self) -> list[QPushButton]:
        """The buttons shown now."""
        items = (self._buttons.itemAt(place) for place in range(self._buttons.count()))
        widgets = (item.widget() for item in items if item is not None)
        return [button for button in widgets if isinstance(button, QPushButton)]

    def say(self, kind: str, text: str, answers: Sequence[Answer] = ()) -> None:
        """Show a text with buttons; the first button takes the keyboard."""
        self._clear()
        self.setProperty("kind", kind)
        self.style().unpolish(self)
        self.style().polish(self)
        self._sign.setText(_SIGNS[kind])
        self.text.setText(text)
        self.setAccessibleName(text)
        for word, act in answers:
            button = QPushButton(word)
            button.clicked.connect(act)
            self._buttons.addWidget(button)
        self._buttons.addStretch(1)  # an empty row of buttons would squeeze the text
        self.show()
        for button in self.answers:
            button.show()
        if answers:
            self.answers[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def refuse(self, error: BaseException) -> None:
        """Show a problem; any other error is a fault of the program and goes on.

        Raises:
            BaseException: *error* itself when it is no `Problem`.
        """
        if not isinstance(error, Problem):
            raise error
        self.say(STOP, "\n".join(part for part in (error.message, error.kept, error.to_do) if part))

    def clear(self) -> None:
        """Say nothing any more."""
        self._clear()
        self.hide()

    def _clear(self) -> None:
        while (item := self._buttons.takeAt(0)) is not None:
            button = item.widget()
            if button is not None:
                button.hide()
                button.deleteLater()
