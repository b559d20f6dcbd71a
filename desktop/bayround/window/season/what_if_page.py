"""What would it have brought to change these bays into something else? A partial budget, from the season or typed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import money, season
from bayround.actions.money import TypedBudget
from bayround.actions.season import SeasonBook
from bayround.figures.money import BudgetReport, money_text
from bayround.figures.season import GroupBy, label_of
from bayround.window.bay.page_parts import text_label
from bayround.window.bay.rows_table import RowsModel, RowsTable
from bayround.window.desk import Desk
from bayround.window.parts.check_list import CheckList
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.notice import STOP, Notice
from bayround.window.parts.whole_table import roomy_list
from bayround.words import _

KINDS = (GroupBy.VARIETY, GroupBy.HOUSE_KIND, GroupBy.AIM, GroupBy.TRAINING)
_PARTS = (
    ("added_returns", "Added returns"),
    ("reduced_costs", "Reduced costs"),
    ("added_costs", "Added costs"),
    ("lost_returns", "Lost returns"),
)


class WhatIfPage(QScrollArea):
    """Bays and the group they change into at the left, what comes of it at the right."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.book: SeasonBook | None = None
        self.report: BudgetReport | None = None
        self.bays = CheckList(_("Bays that change"))
        self.bays.setFixedHeight(190)
        self.into = QComboBox()
        self.into.setAccessibleName(_("What they change into"))
        self.into.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.into.setMinimumContentsLength(24)
        self.reckon, self.reckon_typed = (
            QPushButton(_("&Reckon the change")),
            QPushButton(_("Reckon what is &typed")),
        )
        self.reckon.setProperty("main", True)
        self.typed = {part: QPlainTextEdit() for part, _title in _PARTS}
        self.title, self.notes, self.notice = QLabel(), text_label(name="quiet"), Notice()
        self.title.setObjectName("heading")
        self.title.setWordWrap(True)
        self.chips = FigureChips()
        self.rows = RowsModel((_("Part"), _("What"), _("Amount")), left=(0, 1))
        self._lay_out()
        self.reckon.clicked.connect(self.reckon_change)
        self.reckon_typed.clicked.connect(self.reckon_lines)

    def show_book(self, book: SeasonBook) -> None:
        """Offer the bays and groups of a season; what was ticked stays ticked, what was reckoned goes."""
        ticked, chosen = self.bays.ticked, self.into.currentData()
        self.book = book
        self.bays.show_lines(
            [
                (one.bay.id, f"{one.house.name} · {one.bay.name}: {label_of(one, GroupBy.VARIETY)}")
                for one in book.plantings
            ],
            ticked,
        )
        self.into.clear()
        for by in KINDS:
            for line in season.lines(book, by):
                text = f"{_(by.value)}: {line.label} ({book.crops[line.crop]})"
                self.into.addItem(text, (by.value, line.crop, line.label))
        roomy_list(self.into)
        place = self.into.findData(chosen) if chosen else 0
        self.into.setCurrentIndex(max(place, 0))
        self._forget()

    def reckon_change(self) -> None:
        """Reckon what the chosen change would have brought."""
        book, chosen = self.book, self.into.currentData()
        if book is None or chosen is None:
            return
        (by, crop, label), bays = chosen, self.bays.ticked
        self.desk.tasks.ask(
            lambda: money.change_bays(book, bays, label, crop, GroupBy(by)), self._show, self._refused
        )

    def reckon_lines(self) -> None:
        """Reckon the budget that is typed."""
        texts = {part: field.toPlainText() for part, field in self.typed.items()}
        if not any(text.strip() for text in texts.values()):
            self._forget()
            self.notice.say(STOP, _("Type at least one line, like: labour; 2.8 * 10.00"))
            return
        currency = self.book.currency if self.book else ""

        def work() -> BudgetReport:
            lines = {part: money.typed_lines(text) for part, text in texts.items()}
            return money.partial_budget(TypedBudget(_("As typed"), **lines), currency)

        self.desk.tasks.ask(work, self._show, self._refused)

    def _show(self, report: BudgetReport) -> None:
        self.report = report
        self.notice.clear()
        self.title.setText(report.title)
        self.chips.show_figures([report.net_change], with_words=True)
        rows = [
            (_(title), line.name, money_text(line.amount))
            for part, title in _PARTS
            for line in getattr(report, part)
        ]
        result = report.result
        rows.append((_("For the change"), "", money_text(result.positive_effects)))
        rows.append((_("Against it"), "", money_text(result.negative_effects)))
        self.rows.show_rows([(row, report.net_change) for row in rows])
        self.notes.setText("\n".join(f"· {text}" for text in report.notes))

    def _refused(self, error: BaseException) -> None:
        self._forget()
        self.notice.refuse(error)

    def _forget(self) -> None:
        self.report = None
        self.notice.clear()
        self.title.setText("")
        self.chips.show_figures([])
        self.rows.show_rows([])
        self.notes.setText("")

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(8)
        labelled = ((_("B&ays that change (Space ticks)"), self.bays), (_("I&nto"), self.into))
        for text, field in labelled:
            label = QLabel(text)
            label.setBuddy(field)
            left.addWidget(label)
            left.addWidget(field)
        left.addWidget(self.reckon)
        heading = QLabel(_("Or typed, a line each: what; amount (hours * wage multiplies)"))
        heading.setObjectName("heading")
        heading.setWordWrap(True)
        left.addSpacing(8)
        left.addWidget(heading)
        left.addLayout(self._typed())
        left.addWidget(self.reckon_typed)
        left.addStretch(1)
        right = QVBoxLayout()
        right.setSpacing(8)
        for part in (
            self.notice,
            self.title,
            self.chips,
            RowsTable(self.rows, _("Partial budget")),
            self.notes,
        ):
            right.addWidget(part)
        right.addStretch(1)
        page = QWidget()
        both = QHBoxLayout(page)
        both.setContentsMargins(8, 8, 8, 8)
        both.setSpacing(24)
        both.addLayout(left, 2)
        both.addLayout(right, 3)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(page)

    def _typed(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setSpacing(8)
        for place, (part, title) in enumerate(_PARTS):
            field = self.typed[part]
            field.setAccessibleName(_(title))
            field.setTabChangesFocus(True)
            field.setFixedHeight(62)
            grid.addWidget(QLabel(_(title)), place // 2 * 2, place % 2)
            grid.addWidget(field, place // 2 * 2 + 1, place % 2)
        return grid
