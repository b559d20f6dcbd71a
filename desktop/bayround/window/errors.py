"""What a person sees when something goes wrong: what happened, what was kept, what to do. Never a traceback."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import TracebackType

from PySide6.QtWidgets import QApplication, QWidget

from bayround import places
from bayround.facts.problems import Problem
from bayround.logs import log
from bayround.window.parts.message import MessageDialog
from bayround.words import _

_log = log("window.errors")
_open_boxes: set[MessageDialog] = set()  # PySide drops windows that only Qt knows


def show(error: BaseException, parent: QWidget | None = None) -> MessageDialog:
    """Tell the person of an error and return the box; the window and everything typed in it stay."""
    if isinstance(error, Problem):
        box = problem_box(error, parent)
    else:
        _log.error("A fault of the program", exc_info=error)
        box = fault_box(error, parent)
    _open_boxes.add(box)
    box.finished.connect(lambda _result: _open_boxes.discard(box))
    box.open()
    return box


def problem_box(error: Problem, parent: QWidget | None = None) -> MessageDialog:
    """Return the calm box for something a person can do something about."""
    rest = "\n\n".join(part for part in (error.kept, error.to_do) if part)
    return MessageDialog(_("This did not work"), error.message, rest, parent)


def fault_box(error: BaseException, parent: QWidget | None = None) -> MessageDialog:
    """Return the box for a fault of the program, with the way to the log and no traceback."""
    rest = "\n\n".join(
        (
            _("Everything saved so far is kept, and what you typed is still in the window."),
            _("Try it again. If it happens again, send the log file to whoever looks after this program:"),
            str(places.log_file()),
        )
    )
    return MessageDialog(
        _("A fault in the program"),
        _("Bayround could not do this. The fault is the program's, not yours."),
        rest,
        parent,
        copy=f"Bayround: {type(error).__name__}: {error}\n{places.log_file()}",
    )


def install(parent: Callable[[], QWidget | None] = lambda: None) -> None:
    """Send every error that nothing else caught, slots included, to `show`."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if not isinstance(error, Exception) or QApplication.instance() is None:
            _log.error("Ended by an error", exc_info=(kind, error, trace))
            sys.__excepthook__(kind, error, trace)
            return
        show(error.with_traceback(trace), parent())

    sys.excepthook = hook
