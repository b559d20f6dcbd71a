"""The Trials screen: the list at the left, one trial or the set-up of a new one at the right."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import trials
from bayround.actions.trials import TrialBook
from bayround.window.desk import Desk
from bayround.window.parts.empty import EmptyState
from bayround.window.parts.screen import Screen
from bayround.window.trials.result_page import ResultPage
from bayround.window.trials.setup_page import SetupPage
from bayround.words import _

_ID = Qt.ItemDataRole.UserRole


class TrialsScreen(Screen):
    """Trials, newest first."""

    name = "trials"
    title = "Trials"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.book: TrialBook | None = None
        self.list = QListWidget()
        self.list.setAccessibleName(_("Trials, newest first"))
        self.list.setWordWrap(True)
        self.list.setFixedWidth(240)
        self.new = QPushButton(_("&New trial  (Ctrl+N)"))
        self.result, self.setup, self.empty = ResultPage(desk), SetupPage(desk), EmptyState()
        self.pages = QStackedWidget()
        for page in (self.result, self.setup, self.empty):
            self.pages.addWidget(page)
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addWidget(self.new)
        left.addWidget(self.list, 1)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 8, 8, 8)
        layout.setSpacing(12)
        layout.addLayout(left)
        layout.addWidget(self.pages, 1)
        self.list.currentItemChanged.connect(lambda _now, _before: self._chosen())
        self.new.clicked.connect(self.start_new)
        self.setup.saved.connect(self.show_again)
        self.result.changed.connect(self.show_again)
        QShortcut(QKeySequence("Ctrl+N"), self).activated.connect(self.start_new)
        QShortcut(QKeySequence("Ctrl+S"), self).activated.connect(self._save)

    def show_again(self, key: str = "") -> None:
        """Read the trials again; *key* is the id of the one to show."""
        farm, today = self.desk.farm, self.desk.today()
        item = self.list.currentItem()
        wanted = key or (str(item.data(_ID)) if item else "")
        keep_setup = not key and self.pages.currentWidget() is self.setup and self.setup.is_changed
        self.desk.tasks.ask(
            lambda: trials.read(farm, today), lambda book: self._show(book, wanted, keep_setup)
        )

    def kept(self) -> dict[str, str]:
        """Return the trial that is chosen."""
        item = self.list.currentItem()
        return {"key": str(item.data(_ID)) if item else ""}

    def first_focus(self) -> QWidget:
        """Return the list, or what begins a trial while there is none."""
        if self.pages.currentWidget() is self.setup:
            return self.setup.name
        return self.list if self.list.count() else self.new

    def start_new(self) -> None:
        """Begin setting up a trial; one that is begun already stays as it is."""
        if self.book is None:
            return
        if not (self.pages.currentWidget() is self.setup and self.setup.is_changed):
            self.setup.start(self.book)
        self.pages.setCurrentWidget(self.setup)
        self.setup.name.setFocus(Qt.FocusReason.OtherFocusReason)

    def _save(self) -> None:
        if self.pages.currentWidget() is self.setup:
            self.setup.save()

    def _show(self, book: TrialBook, wanted: str, keep_setup: bool) -> None:
        self.book = book
        self.list.blockSignals(True)
        self.list.clear()
        for view in book.trials:
            plots = _("{n} of {all} plots have a value").format(n=view.filled, all=len(view.plots))
            item = QListWidgetItem("\n".join((view.trial.name, _(view.trial.design.value), plots)))
            item.setData(_ID, view.trial.id)
            self.list.addItem(item)
        places = [place for place, view in enumerate(book.trials) if view.trial.id == wanted]
        if book.trials:
            self.list.setCurrentRow(places[0] if places else 0)
        self.list.blockSignals(False)
        if keep_setup:
            return
        if not book.trials:
            self.empty.say(
                _("No trial is laid out yet."),
                _("A trial answers one question, such as: which variety brings more kg per m² here?"),
                _("Set up a &trial"),
                self.start_new,
            )
            self.pages.setCurrentWidget(self.empty)
            return
        self._chosen()

    def _chosen(self) -> None:
        item = self.list.currentItem()
        view = self.book.view(str(item.data(_ID))) if self.book and item else None
        if view is not None and self.book is not None:
            self.pages.setCurrentWidget(self.result)
            self.result.show_trial(view, self.book.season)
