"""Picks and work inside an interval, listed: why each is there, and the explanation a person keeps."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.actions.inside import Found
from bayround.window.parts.notice import STOP, Notice
from bayround.window.parts.whole_table import heighten
from bayround.words import _


class InsideDialog(QDialog):
    """Stays open until nothing is left or the person closes it; what is left stays marked everywhere.

    Attributes:
        explained: (the chosen ones, the explanation). wanted: (screen, key) to put a record right.
    """

    explained = Signal(list, str)
    wanted = Signal(str, str)

    def __init__(self, found: tuple[Found, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Inside an interval"))
        self.setMinimumSize(900, 420)
        self.found: tuple[Found, ...] = ()
        self.heading = QLabel(_("Picked or worked inside an interval, as the records now tell"))
        self.heading.setObjectName("heading")
        about = QLabel(
            _(
                "Keep the fruit apart until somebody who may decide has. The product label, local rules and licensed "
                "or competent people decide, not this list. Put the record right, or write why it is as it is: that is "
                "kept with it and shown."
            )
        )
        about.setWordWrap(True)
        self.table = QTableWidget(0, 4)
        self._dress_table()
        self.line, self.notice = QLineEdit(), Notice()
        self.line.setAccessibleName(_("Explanation for the chosen lines"))
        self.line.setPlaceholderText(
            _("Why, for the chosen lines: for example “picked before six, spraying began at nine”")
        )
        self.line.returnPressed.connect(self._keep)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        for part in (self.heading, about, self.table, self.notice):
            layout.addWidget(part, 1 if part is self.table else 0)
        label = QLabel(_("Explanation for the chosen &lines (Ctrl+A chooses all)"))
        label.setBuddy(self.line)
        layout.addWidget(label)
        layout.addWidget(self.line)
        layout.addLayout(self._buttons())
        self.show_found(found)

    def show_found(self, found: tuple[Found, ...]) -> None:
        """Show what is left; close when nothing is."""
        self.found = found
        if not found:
            self.accept()
            return
        self.table.setRowCount(len(found))
        for row, one in enumerate(found):
            note = f"\n{_('Note')}: {one.inside.note}" if one.inside.note else ""
            cells = (one.bay_name, words.day(one.inside.day), one.inside.what, one.inside.why + note)
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                self.table.setItem(row, column, item)
        self._let_stand_whole()
        self.table.setCurrentCell(0, 0)
        self.line.clear()
        self.notice.clear()
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give every line the height its reason needs: until when nobody may pick must never be cut."""
        super().resizeEvent(event)
        self._let_stand_whole()

    def _let_stand_whole(self) -> None:
        heighten(self.table, range(self.table.columnCount()))

    def _dress_table(self) -> None:
        self.table.setHorizontalHeaderLabels([_("Bay"), _("Day"), _("What"), _("Inside of")])
        self.table.setAccessibleName(_("What lies inside an interval"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.table.setTabKeyNavigation(False)
        self.table.setWordWrap(True)
        self.table.verticalHeader().hide()
        head = self.table.horizontalHeader()
        head.setHighlightSections(False)
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        head.sectionResized.connect(lambda *_change: self._let_stand_whole())
        for column in range(3):
            head.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(3, QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.table.setTextElideMode(Qt.TextElideMode.ElideNone)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(8)
        self.treatment, self.record = (
            QPushButton(_("Go to the &treatment")),
            QPushButton(_("Go to the &record")),
        )
        self.close_button, self.keep = QPushButton(_("&Close")), QPushButton(_("&Keep the explanation"))
        self.keep.setProperty("main", True)
        for button, act in (
            (self.treatment, self._to_treatment),
            (self.record, self._to_record),
            (self.close_button, self.reject),
            (self.keep, self._keep),
        ):
            button.setAutoDefault(False)
            button.clicked.connect(act)
        row.addWidget(self.treatment)
        row.addWidget(self.record)
        row.addStretch(1)
        row.addWidget(self.close_button)
        row.addWidget(self.keep)
        return row

    def _chosen(self) -> list[Found]:
        return [self.found[row] for row in sorted({index.row() for index in self.table.selectedIndexes()})]

    def _keep(self) -> None:
        said = self.line.text().strip()
        chosen = self._chosen()
        if not chosen or not said:
            self.notice.say(STOP, _("A few words are needed.") if chosen else _("Choose a line first."))
            self.line.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self.explained.emit(chosen, said)

    def _to_treatment(self) -> None:
        for one in self._chosen()[:1]:
            self.wanted.emit("treatments", one.inside.unexplained[0].id)

    def _to_record(self) -> None:
        for one in self._chosen()[:1]:
            self.wanted.emit("picks" if one.inside.table_name == "pick" else "jobs", one.inside.bay_id)
