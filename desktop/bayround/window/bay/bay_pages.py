"""The further pages of the Bay screen, read when they are first looked at."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QTabWidget

from bayround.actions import insight as insight_actions
from bayround.actions.insight import BayInsight
from bayround.window.bay.choice_page import ChoicePage
from bayround.window.bay.compare_page import ComparePage
from bayround.window.bay.figures_page import FiguresPage
from bayround.window.bay.forecast_page import ForecastPage
from bayround.window.bay.page_parts import BayPage
from bayround.window.bay.scouts_page import ScoutsPage
from bayround.window.bay.wire_page import WirePage
from bayround.window.desk import Desk
from bayround.words import _

_WAIT_MS = 400
"""Whoever steps through the bays quickly does not wait for what they don't look at."""


class BayPages(QObject):
    """Adds the pages to the tabs of the Bay screen and fills them for the bay that is shown.

    Attributes:
        arrived: the `BayInsight` of the bay shown (its growth curve goes into the chart).
    """

    arrived = Signal(object)

    def __init__(self, desk: Desk, tabs: QTabWidget) -> None:
        super().__init__(tabs)
        self.desk, self.tabs = desk, tabs
        self.insight: BayInsight | None = None
        self._bay_id = ""
        self._is_read = False
        self.pages: tuple[BayPage, ...] = tuple(
            make(desk) for make in (ComparePage, ForecastPage, FiguresPage, ChoicePage, WirePage, ScoutsPage)
        )
        for page in self.pages:
            tabs.addTab(page, _(page.title))
        tabs.currentChanged.connect(lambda _place: self._read_if_looked_at())
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(_WAIT_MS)
        self._wait.timeout.connect(self._read)

    def show_bay(self, bay_id: str) -> None:
        """Show another bay, or the same one as it is now."""
        self._bay_id, self._is_read = bay_id, False
        self._wait.start()
        self._read_if_looked_at()

    def _read_if_looked_at(self) -> None:
        if self.tabs.currentWidget() in self.pages and not self._is_read:
            self._read()

    def _read(self) -> None:
        self._wait.stop()
        if self._is_read or not self._bay_id or not self.tabs.isVisible():
            return
        self._is_read = True
        farm, bay_id, today = self.desk.farm, self._bay_id, self.desk.today()
        self.desk.tasks.ask(lambda: insight_actions.read(farm, bay_id, today), self._show)

    def _show(self, insight: BayInsight) -> None:
        if insight.past.bay.id != self._bay_id:
            return
        self.insight = insight
        for page in self.pages:
            page.show_insight(insight)
        self.arrived.emit(insight)
