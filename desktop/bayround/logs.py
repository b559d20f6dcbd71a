"""The log: a rotating file, a fault log for hard crashes, never a traceback on screen."""

from __future__ import annotations

import faulthandler
import logging
import logging.handlers
from typing import TextIO

from bayround import places

_fault_stream: TextIO | None = None


def start_logging() -> None:
    """Send warnings and errors to the log file; hard crashes to the fault file.

    When the log folder can't be written the program still runs: it then logs nowhere.
    """
    global _fault_stream
    root = logging.getLogger("bayround")
    if root.handlers:
        return
    root.setLevel(logging.INFO)
    try:
        handler: logging.Handler = logging.handlers.RotatingFileHandler(
            places.log_file(), maxBytes=1_000_000, backupCount=5, encoding="utf-8"
        )
        _fault_stream = places.fault_file().open("a", encoding="utf-8")
        faulthandler.enable(_fault_stream)
    except OSError:
        handler = logging.NullHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)r"))
    root.addHandler(handler)


def stop_logging() -> None:
    """Close the files (tests and the end of the program)."""
    global _fault_stream
    root = logging.getLogger("bayround")
    for handler in list(root.handlers):
        handler.close()
        root.removeHandler(handler)
    if _fault_stream is not None:
        faulthandler.disable()
        _fault_stream.close()
        _fault_stream = None


def log(name: str) -> logging.Logger:
    """Return the program's logger for one module."""
    return logging.getLogger(f"bayround.{name}")
