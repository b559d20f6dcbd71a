"""The review at the end of a bay: every doubtful value once, with one key each."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QAbstractListModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QListView, QVBoxLayout, QWidget

from bayround.figures.doubts import CellDoubt
from bayround.window.parts.ask_line import AskLine
from bayround.window.visit.entry_model import NOWHERE, Index
from bayround.words import _, counted

_ITEM = Qt.ItemDataRole.UserRole


@dataclass(frozen=True, slots=True)
class ReviewItem:
    """One thing to look at again: a doubtful number, empty cells, or a row half typed."""

    text: str
    doubt: CellDoubt | None = None
    cell: tuple[str, str] | None = None
    half_typed: tuple[str, int] | None = None
    """Section and row."""
    stand: int | None = None
    """How many plants are taken as standing although some were found dead."""


class ReviewModel(QAbstractListModel):
    """The items still to be looked at."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.items: list[ReviewItem] = []

    def show(self, items: list[ReviewItem]) -> None:
        """Show other items."""
        self.beginResetModel()
        self.items = items
        self.endResetModel()

    def take(self, row: int) -> ReviewItem:
        """Take an item off the list."""
        self.beginRemoveRows(QModelIndex(), row, row)
        item = self.items.pop(row)
        self.endRemoveRows()
        return item

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """One row an item."""
        return 0 if parent.isValid() else len(self.items)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return an item or its words."""
        if not index.isValid():
            return None
        item = self.items[index.row()]
        if role == _ITEM:
            return item
        return (
            item.text if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole) else None
        )


KEYS = "K  it is right      E or Enter  go to it      Esc  back to the sheet"
KEYS_WHEN_SEEN = "Enter  finish      Esc  back to the sheet"


class Review(QWidget):
    """K: it is right. E or Enter: go to the cell. Escape: back to the sheet.

    Signals:
        let_stand: an item that is right. go_to: an item to be looked at in its cell.
        closed: back to the sheet. all_seen: nothing is left and Enter was pressed.
    """

    let_stand = Signal(object)
    go_to = Signal(object)
    closed = Signal()
    all_seen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = QLabel()
        self.heading.setObjectName("heading")
        self.keys = QLabel(_(KEYS))
        self.keys.setObjectName("quiet")
        self.items = ReviewModel(self)
        self.list = QListView()
        self.list.setModel(self.items)
        self.list.setAccessibleName(_("Values to look at again"))
        self.list.setWordWrap(True)
        self.list.setAlternatingRowColors(True)
        self.list.installEventFilter(self)
        self.list.doubleClicked.connect(lambda index: self.go_to.emit(index.data(_ITEM)))
        self.ask = AskLine()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 8, 0, 0)
        layout.setSpacing(4)
        for part in (self.heading, self.keys, self.list, self.ask):
            layout.addWidget(part)
        self.setFocusProxy(self.list)

    def show_items(self, items: list[ReviewItem]) -> None:
        """Show what is to be looked at again."""
        row = max(0, self.list.currentIndex().row())
        self.items.show(items)
        self._count()
        if items:
            self.list.setCurrentIndex(self.items.index(min(row, len(items) - 1)))

    def drop(self, item: ReviewItem) -> None:
        """Take an item off the list that was answered in another way."""
        if item in self.items.items:
            row = self.items.items.index(item)
            self.items.take(row)
            self._count()
            self.list.setCurrentIndex(self.items.index(min(row, len(self.items.items) - 1)))

    def eventFilter(self, watched: object, event: object) -> bool:
        """The keys of the list."""
        return isinstance(event, QKeyEvent) and event.type() == QKeyEvent.Type.KeyPress and self._key(event)

    def _key(self, event: QKeyEvent) -> bool:
        if event.modifiers() & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier):
            return False
        key, index = event.key(), self.list.currentIndex()
        enter = key in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if key == Qt.Key.Key_Escape:
            self.closed.emit()
        elif not self.items.items and enter:
            self.all_seen.emit()
        elif key == Qt.Key.Key_K and index.isValid():
            if not event.isAutoRepeat():  # a key that stays down must not wave everything through
                row = index.row()
                self.let_stand.emit(self.items.take(row))
                self._count()
                self.list.setCurrentIndex(self.items.index(min(row, len(self.items.items) - 1)))
        elif (key == Qt.Key.Key_E or enter) and index.isValid():
            self.go_to.emit(index.data(_ITEM))
        else:
            return False
        return True

    def _count(self) -> None:
        left = len(self.items.items)
        self.heading.setText(
            counted(
                "{n} thing to look at before this bay is finished",
                "{n} things to look at before this bay is finished",
                left,
            )
            if left
            else _("Everything was looked at. Enter finishes this bay.")
        )
        self.keys.setText(_(KEYS) if left else _(KEYS_WHEN_SEEN))
        self.setAccessibleName(self.heading.text())
