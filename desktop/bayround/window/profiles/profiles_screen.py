"""The Crop numbers screen: where every number comes from, the farm's own ones, what a threshold costs."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QTabWidget, QVBoxLayout, QWidget

from bayround.actions import profiles
from bayround.actions.profiles import CropNumbers
from bayround.window.desk import Desk
from bayround.window.parts.notice import Notice
from bayround.window.parts.screen import Screen
from bayround.window.profiles.band_page import BandPage
from bayround.window.profiles.numbers_page import NumbersPage
from bayround.window.profiles.plans_page import PlansPage
from bayround.words import _


class ProfilesScreen(Screen):
    """One crop at a time; three pages: numbers, fruit band, stop plans."""

    name = "profiles"
    title = "Crop numbers"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.numbers: CropNumbers | None = None
        self.crop = QComboBox()
        self.crop.setAccessibleName(_("Crop"))
        self.crop.setMinimumWidth(200)
        self.numbers_page = NumbersPage(desk)
        self.band_page = BandPage(desk)
        self.plans_page = PlansPage()
        self.notice = Notice()
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(_("Pages of the crop"))
        for page, title in (
            (self.numbers_page, _("&Numbers and sources")),
            (self.band_page, _("Fruit &band")),
            (self.plans_page, _("&Stop plans")),
        ):
            self.tabs.addTab(page, title)
        self._lay_out()
        self.crop.activated.connect(lambda _place: self.show_again())
        self.numbers_page.changed.connect(self.show_again)
        self.band_page.changed.connect(self.show_again)
        QShortcut(QKeySequence.StandardKey.Find, self).activated.connect(self._find)

    def show_again(self, key: str = "") -> None:
        """Read a crop's numbers again; *key* is the crop's key."""
        farm, today = self.desk.farm, self.desk.today()
        chosen = key or str(self.crop.currentData() or "")

        def read() -> tuple[tuple[tuple[str, str], ...], CropNumbers]:
            known = profiles.crops(farm)
            return known, profiles.read(farm, chosen or known[0][0], today)

        self.desk.tasks.ask(read, lambda found: self._show(*found), self.notice.refuse)

    def commit_open_edit(self) -> bool:
        """A number that is typed but not kept stays: it needs its reason first."""
        forms = (self.numbers_page.form, self.band_page.form)
        return not any(form.is_changed for form in forms)

    def kept(self) -> dict[str, str]:
        """Return the crop and the page that is shown."""
        return {"key": str(self.crop.currentData() or ""), "page": str(self.tabs.currentIndex())}

    def take_up(self, kept: Mapping[str, str]) -> None:
        """Turn to the page again."""
        self.tabs.setCurrentIndex(int(kept.get("page", "0")))

    def first_focus(self) -> QWidget:
        """Return the table of the page that is shown."""
        page = self.tabs.currentWidget()
        if page is self.plans_page:
            return self.plans_page.list
        return self.band_page.table if page is self.band_page else self.numbers_page.table

    def _lay_out(self) -> None:
        label = QLabel(_("&Crop"))
        label.setBuddy(self.crop)
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(label)
        top.addWidget(self.crop)
        top.addWidget(self.notice, 1)
        top.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        layout.addLayout(top)
        layout.addWidget(self.tabs, 1)

    def _show(self, known: tuple[tuple[str, str], ...], numbers: CropNumbers) -> None:
        self.numbers = numbers
        if not self.crop.count():
            for crop, title in known:
                self.crop.addItem(title, crop)
        self.crop.setCurrentIndex(self.crop.findData(numbers.crop))
        self.numbers_page.show_numbers(numbers)
        self.band_page.show_numbers(numbers)
        self.plans_page.show_numbers(numbers)

    def _find(self) -> None:
        self.tabs.setCurrentWidget(self.numbers_page)
        self.numbers_page.filter.setFocus(Qt.FocusReason.ShortcutFocusReason)
