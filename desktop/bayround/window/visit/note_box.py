"""The visit's note: kept when the person pauses, goes elsewhere, or the page changes."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from bayround.facts.rounds import VisitState
from bayround.week.visit_sheet import VisitSheet
from bayround.words import _

PAUSE_MS = 800


class NoteBox(QPlainTextEdit):
    """A few lines of text.

    Signals:
        typed: visit and text to be saved.
    """

    typed = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._visit_id = ""
        self._kept = ""
        self._done = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self.keep)
        self.setTabChangesFocus(True)
        self.document().setDocumentMargin(2)
        self.setAccessibleName(_("Note on this bay"))
        self.setPlaceholderText(_("Anything else"))
        self.textChanged.connect(self._changed)

    def show_sheet(self, sheet: VisitSheet | None, waiting: bool) -> None:
        """Show the note of a visit; a note being typed stays."""
        visit_id = sheet.visit.id if sheet else ""
        if visit_id == self._visit_id and (waiting or self.toPlainText() != self._kept):
            return
        self.keep()
        self._visit_id, self._kept = visit_id, sheet.visit.note if sheet else ""
        if self.toPlainText() != self._kept:
            self.blockSignals(True)
            self.setPlainText(self._kept)
            self.blockSignals(False)
        self._done = sheet is not None and sheet.visit.state is VisitState.DONE
        self.setReadOnly(sheet is None)

    @property
    def is_changed(self) -> bool:
        """Whether something was typed that was not handed on yet."""
        return self.toPlainText() != self._kept

    def keep(self) -> None:
        """Have the note saved if it changed."""
        self._pause.stop()
        text = self.toPlainText()
        if self._visit_id and text != self._kept:
            self._kept = text
            self.typed.emit(self._visit_id, text)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Going elsewhere keeps the note."""
        super().focusOutEvent(event)
        self.keep()

    def _changed(self) -> None:
        if self._visit_id and not self._done:  # a correction is asked about once, at the end
            self._pause.start()
