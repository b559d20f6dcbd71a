"""Questions that stop the work until they are answered. Tests hand in answers instead."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox, QWidget

from bayround.words import _


class Questions(Protocol):
    """What the window may ask a person to decide before it goes on."""

    def confirm(self, question: str, follows: str, yes: str) -> bool:
        """Ask before something that can't be taken back; *yes* is the word on the button."""

    def file_to_open(self, title: str, folder: Path, kinds: str) -> Path | None:
        """Ask for a file that exists."""

    def file_to_save(self, title: str, proposed: Path, kinds: str) -> Path | None:
        """Ask where to write a file."""


class DialogQuestions:
    """Asks with the system's own dialogs, above whatever window is in front."""

    def confirm(self, question: str, follows: str, yes: str) -> bool:
        """Ask with two buttons; Escape means no."""
        box = QMessageBox(QMessageBox.Icon.NoIcon, "Bayround", question, parent=self._front())
        box.setInformativeText(follows)
        agreed = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
        box.addButton(_("Cancel"), QMessageBox.ButtonRole.RejectRole)
        box.exec()
        return box.clickedButton() is agreed

    def file_to_open(self, title: str, folder: Path, kinds: str) -> Path | None:
        """Ask with the system's open dialog."""
        chosen, _kind = QFileDialog.getOpenFileName(self._front(), title, str(folder), kinds)
        return Path(chosen) if chosen else None

    def file_to_save(self, title: str, proposed: Path, kinds: str) -> Path | None:
        """Ask with the system's save dialog, which itself asks before overwriting."""
        chosen, _kind = QFileDialog.getSaveFileName(self._front(), title, str(proposed), kinds)
        return Path(chosen) if chosen else None

    @staticmethod
    def _front() -> QWidget | None:
        return QApplication.activeWindow()
