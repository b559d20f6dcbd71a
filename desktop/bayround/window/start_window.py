"""Start the window: the application, its look, what happens to errors, and the first farm."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from bayround.facts.server_address import FarmPlace
from bayround.window import errors
from bayround.window.application import application
from bayround.window.session import Session


def open_window(farm: FarmPlace | None) -> int:
    """Open the window on a farm (none: the one opened last) and run until it is closed.

    Returns the exit code of the application.
    """
    app = application()
    errors.install(QApplication.activeWindow)
    session = Session()
    session.start(farm)
    try:
        return app.exec()
    finally:
        session.end()
