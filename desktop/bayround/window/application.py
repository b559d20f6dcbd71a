"""The one application object, in the look that was chosen on this computer."""

from __future__ import annotations

from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from bayround.window import icons, theme
from bayround.window.parts import spoken


def application() -> QApplication:
    """Return the application, made if need be, in the chosen look."""
    known = QApplication.instance()
    app = known if isinstance(known, QApplication) else QApplication(["bayround"])
    app.setApplicationName("Bayround")
    app.setDesktopFileName("bayround")
    spoken.install()
    theme.apply_chosen(app)
    app.setWindowIcon(QIcon(icons.picture("bayround", pixels=128)))
    return app
