"""Costs, prices and the wage: written down, corrected with a reason, never lost."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from bayround import words
from bayround.actions import money
from bayround.actions.jobs import Moment
from bayround.actions.money_entries import MoneyBook, MoneyEntry
from bayround.window.bay.page_parts import text_label
from bayround.window.bay.rows_table import RowsModel, RowsTable
from bayround.window.desk import Desk
from bayround.window.parts.notice import Notice
from bayround.window.season.entry_form import EntryForm
from bayround.words import _


class BooksPage(QWidget):
    """Entries at the left with their history, the form for a new one at the right.

    Attributes:
        changed: something was written down or corrected.
    """

    changed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.book: MoneyBook | None = None
        self.rows = RowsModel(
            (_("Day"), _("Kind"), _("What"), _("Amount"), _("Concerns"), _("Corrected")), left=(0, 1, 2, 4)
        )
        self.table = RowsTable(self.rows, _("Costs, prices and wages, newest first"), most_rows=14)
        self.history, self.empty, self.form = text_label(), text_label(name="quiet"), EntryForm(desk)
        self.amount, self.reason = QLineEdit(), QLineEdit()
        self.correct = QPushButton(_("C&orrect the chosen entry"))
        self.notice = Notice()
        self._lay_out()
        self.table.selectionModel().currentChanged.connect(lambda _now, _before: self._chosen())
        self.correct.clicked.connect(self.correct_chosen)
        self.reason.returnPressed.connect(self.correct_chosen)
        self.amount.returnPressed.connect(self.focusNextChild)
        self.form.kept.connect(self.changed)

    def show_book(self, book: MoneyBook) -> None:
        """Show what is written down; the chosen entry stays chosen."""
        chosen = self._entry()
        self.book = book
        self.rows.show_rows([(_cells(one), None) for one in book.entries])
        self.form.show_book(book)
        places = [at for at, one in enumerate(book.entries) if chosen and one.entry.id == chosen.entry.id]
        if book.entries:
            self.table.selectRow(places[0] if places else 0)
        self.empty.setText(
            ""
            if book.entries
            else _("Nothing is written down yet. Begin with the price of a kilogram and the wage of an hour.")
        )
        self.empty.setVisible(not book.entries)
        self._chosen()

    @property
    def is_changed(self) -> bool:
        """Something is typed that is not kept."""
        return self.form.is_changed or bool(self.amount.text().strip() or self.reason.text().strip())

    def clear(self) -> None:
        """Throw away what is typed."""
        self.form.clear()
        self.amount.clear()
        self.reason.clear()
        self.notice.clear()

    def correct_chosen(self) -> None:
        """Give the chosen entry another amount; what stood before stays in its history."""
        chosen = self._entry()
        if chosen is None:
            return
        farm, entry, text, reason = self.desk.farm, chosen.entry, self.amount.text(), self.reason.text()
        moment = Moment(self.desk.today(), self.desk.now(), self.desk.person_id)
        self.desk.tasks.change(
            lambda: money.correct(farm, money.with_amount(entry, money.hundredths(text)), moment, reason),
            lambda _count: self._corrected(),
            self.notice.refuse,
        )

    def _corrected(self) -> None:
        self.amount.clear()
        self.reason.clear()
        self.notice.clear()
        self.desk.tell(_("The correction is kept; what stood before stays in the history."))
        self.changed.emit()

    def _entry(self) -> MoneyEntry | None:
        row = self.table.currentIndex().row()
        entries = self.book.entries if self.book else ()
        return entries[row] if 0 <= row < len(entries) else None

    def _chosen(self) -> None:
        entry = self._entry()
        self.correct.setEnabled(entry is not None)
        if entry is None:
            self.history.setText("")
            return
        currency = self.book.currency if self.book else ""
        told = [f"{entry.what or entry.kind}: {entry.amount} {currency}".strip()]
        told += entry.history or (_("Never corrected."),)
        self.history.setText("\n".join(told))

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addWidget(self.empty)
        left.addWidget(self.table)
        left.addWidget(self.history)
        line = QHBoxLayout()
        line.setSpacing(8)
        for text, field, stretch in ((_("New amount"), self.amount, 1), (_("Reason"), self.reason, 3)):
            label = QLabel(text)
            label.setBuddy(field)
            field.setAccessibleName(text)
            line.addWidget(label)
            line.addWidget(field, stretch)
        line.addWidget(self.correct)
        left.addLayout(line)
        left.addWidget(self.notice)
        left.addStretch(1)
        both = QHBoxLayout(self)
        both.setContentsMargins(8, 8, 8, 8)
        both.setSpacing(24)
        both.addLayout(left, 5)
        both.addWidget(self.form, 2)


def _cells(one: MoneyEntry) -> tuple[str, ...]:
    corrected = words.counted("{n} time", "{n} times", len(one.history)) if one.history else ""
    return words.day(one.day), one.kind, one.what, one.amount, one.concerns, corrected
