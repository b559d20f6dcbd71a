"""What kind of thing a painted part is, for screen readers: Qt knows its own controls, not ours."""

from __future__ import annotations

import shiboken6
from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAccessibleWidget, QWidget

CHART, GRAPHIC, PANE = QAccessible.Role.Chart, QAccessible.Role.Graphic, QAccessible.Role.Pane

_made: list[QAccessibleWidget] = []
"""Kept as long as their part lives: Qt holds them by address only."""


def install() -> None:
    """Say the role of every part whose class has one in `spoken_role`; once for the whole program."""
    if not _Installed.done:
        _Installed.done = True
        QAccessible.installFactory(_of)


class _Installed:
    done = False


def _of(_class_name: str, part: QObject) -> QAccessibleWidget | None:
    role = getattr(part, "spoken_role", None)
    if role is None or not isinstance(part, QWidget):
        return None
    _made[:] = [one for one in _made if shiboken6.isValid(one)]
    _made.append(QAccessibleWidget(part, role))
    return _made[-1]
