"""A long job under way: what it does, how far it is, and a way to stop it."""

from __future__ import annotations

from threading import Event

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QDialog, QLabel, QProgressBar, QPushButton, QVBoxLayout, QWidget

from bayround.words import _

_LOOK_EVERY_MS = 80


class ProgressDialog(QDialog):
    """Open while a long job runs on another thread; `report` may be called from that thread.

    Attributes:
        cancelled: set when the person wants to stop; the job looks at it between its steps.
    """

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(400)
        self.cancelled = Event()
        self._text = QLabel(title)
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setAccessibleName(_("Progress"))
        self._cancel = QPushButton(_("&Cancel"))
        self._cancel.clicked.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(16)
        layout.addWidget(self._text)
        layout.addWidget(self._bar)
        layout.addWidget(self._cancel, 0, Qt.AlignmentFlag.AlignRight)
        self._reported: tuple[int, int, str] | None = None
        self._look = QTimer(self)
        self._look.setInterval(_LOOK_EVERY_MS)
        self._look.timeout.connect(self._show_step)
        self._look.start()

    def report(self, step: int, steps: int, text: str) -> None:
        """Show how far the job is; may be called from any thread."""
        self._reported = (step, steps, text)

    def reject(self) -> None:
        """Ask the job to stop; the dialog closes when it has."""
        self.cancelled.set()
        self._cancel.setEnabled(False)
        self._text.setText(_("Stopping …"))

    def finish(self) -> None:
        """The job is over, one way or the other: the dialog goes."""
        self._look.stop()
        super().accept()
        self.deleteLater()

    def _show_step(self) -> None:
        if self.cancelled.is_set() or self._reported is None:
            return
        step, steps, text = self._reported
        self._bar.setRange(0, steps)
        self._bar.setValue(step)
        self._text.setText(text)
