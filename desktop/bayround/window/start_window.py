"""Start the window: the application, its look, what happens to errors, and the first farm."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from bayround.window import errors, icons, theme
from bayround.window.session import Session


def open_window(farm_path: Path | None) -> int:
    """Open the window on a farm file (none: the one opened last) and run until it is closed.

    Returns the exit code of the application.
    """
    app = application()
    errors.install(QApplication.activeWindow)
    session = Session()
    session.start(farm_path)
    try:
        return app.exec()
    finally:
        session.end()


def application() -> QApplication:
    """Return the application in the look that was chosen on this computer."""
    known = QApplication.instance()
    app = known if isinstance(known, QApplication) else QApplication(["bayround"])
    app.setApplicationName("Bayround")
    app.setDesktopFileName("bayround")
    theme.apply_chosen(app)
    app.setWindowIcon(QIcon(icons.picture("bayround", pixels=128)))
    return app
