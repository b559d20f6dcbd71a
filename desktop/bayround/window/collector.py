"""Python's collector of unused objects, kept on the screen's thread.

Left to itself it runs in whichever thread makes an object next. Where that is the farm's thread and the rubbish
holds a part of a closed window, Qt's lock and the interpreter's are taken in the wrong order and both threads wait
for ever (seen with PySide6 6.11 in the tests of the window). So it is switched off and called by a timer.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

_LOOK_EVERY_MS = 500
_at_work: set[int] = set()  # two farms may be open for a moment; the last one gives it back


class ScreenCollector(QObject):
    """Collects what is due, generation by generation, whenever its timer rings; `stop` gives it back to Python.

    With two at work the last to stop does.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        _at_work.add(id(self))
        gc.disable()
        self._timer = QTimer(self)
        self._timer.setInterval(_LOOK_EVERY_MS)
        self._timer.timeout.connect(self.collect_due)
        self._timer.start()

    def collect_due(self) -> None:
        """Collect the oldest generation whose count has passed its threshold, if any has."""
        for generation in (2, 1, 0):
            if gc.get_count()[generation] > gc.get_threshold()[generation]:
                gc.collect(generation)
                return

    def stop(self) -> None:
        """Let Python collect by itself again."""
        self._timer.stop()
        _at_work.discard(id(self))
        if not _at_work:
            gc.enable()
