"""Gross margins by group; of the group under the cursor its lines, its break-even, and a grid of prices and yields."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from bayround.actions import money
from bayround.actions.season import SeasonBook
from bayround.facts.problems import Refused
from bayround.figures.money import COLUMNS, BreakEven, MoneyLineOfGroup, money_text
from bayround.window.bay.page_parts import text_label
from bayround.window.bay.rows_table import Row, RowsModel, RowsTable
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.season.figure_table import FigureModel, FigureRow, FigureTable
from bayround.window.season.group_chart import GroupChart
from bayround.words import _

_PARTS = ("Income and costs", "Amount", "Per m²")
_GRID = ("Yield, kg/m²", "−30 %", "−15 %", "price", "+15 %", "+30 %")


class MoneyPage(QScrollArea):
    """The table decides which group is looked at closely below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.book: SeasonBook | None = None
        self.lines: dict[str, MoneyLineOfGroup] = {}
        self.model = FigureModel((_("Crop"), _("Group")))
        self.table = FigureTable(self.model, _("Money by group"), most_rows=8)
        self.said, self.notes, self.chart = text_label(), text_label(name="quiet"), GroupChart()
        self.parts, self.grid = RowsModel(_PARTS), RowsModel(_GRID, left=())
        self.chips, self.close_up = FigureChips(), QLabel()
        self.close_up.setObjectName("heading")
        self.rising = AmountField(_("Cost that rises with each kg"), decimals=2)
        self.rising.setFixedWidth(90)
        self.problem = text_label()
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(8, 8, 8, 8)
        column.setSpacing(8)
        for part in (self.table, self.said, self.close_up):
            column.addWidget(part)
        column.addLayout(self._close_up())
        column.addWidget(self.chart)
        column.addWidget(self.notes)
        column.addStretch(1)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(page)
        self.table.moved.connect(self._moved)
        self.rising.edited.connect(self._break_even)

    def show_lines(self, book: SeasonBook, lines: tuple[MoneyLineOfGroup, ...]) -> None:
        """Show the money of each group."""
        self.book = book
        self.lines = {f"{line.crop}/{line.label}": line for line in lines}
        self.model.show_rows(
            [
                FigureRow(
                    key, (book.crops[line.crop], line.label), tuple(line.figures[one] for one in COLUMNS)
                )
                for key, line in self.lines.items()
            ]
        )
        left_out = [_("What this leaves out:"), *(f"· {_(text)}" for text in money.LEFT_OUT)]
        self.notes.setText("\n".join(left_out))
        if self.model.rows and not self.table.currentIndex().isValid():
            self.table.setCurrentIndex(self.model.index(0, 2 + COLUMNS.index("money_margin_m2")))
        self._moved(self.said.text())

    def _moved(self, text: str) -> None:
        line = self.lines.get(self.table.chosen_key())
        self.chart.show_lines(self.model.column_figures(self.table.currentIndex().column()))
        if line is None:
            self.said.setText(text)
            self.parts.show_rows([])
            self._break_even()
            return
        self.said.setText("   ".join((text, *line.notes)))
        self.close_up.setText(line.label)
        rows: list[Row] = []
        for side, what, amount, each in line.parts:
            sign = 1 if side == "income" else -1
            rows.append(((_(what), money_text(sign * amount), money_text(sign * each)), None))
        margin = line.figures["money_margin"]
        rows.append(((_("gross margin"), margin.text, line.figures["money_margin_m2"].text), margin))
        self.parts.show_rows(rows)
        self._break_even()

    def _break_even(self) -> None:
        line, book = self.lines.get(self.table.chosen_key()), self.book
        found, problem = None, self.rising.problem()
        if line is not None and book is not None and not problem:
            cost = Decimal(self.rising.text().strip().replace(",", ".") or "0")
            try:
                found = money.break_even_of(line, book.currency, cost)
            except Refused as refused:
                problem = refused.message
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))
        self.chips.show_figures([found.price, found.yield_kg_m2] if found else [], with_words=True)
        self._show_grid(found, book.currency if book else "")

    def _show_grid(self, found: BreakEven | None, currency: str) -> None:
        if found is None:
            self.grid.show_rows([])
            return
        prices = [cell.price_per_kg for cell in found.grid[0]]
        head = (f"{currency}/kg →", *(money_text(price) for price in prices))
        rows = [(head, None)]
        for cells in found.grid:
            margins = (money_text(cell.margin_per_m2) for cell in cells)
            rows.append(((money_text(cells[0].yield_kg_per_m2), *margins), None))
        self.grid.show_rows(rows)

    def _close_up(self) -> QHBoxLayout:
        right = QVBoxLayout()
        right.setSpacing(8)
        field = QHBoxLayout()
        field.setSpacing(8)
        label = QLabel(_("Cost that &rises with each kg (picking, packing)"))
        label.setBuddy(self.rising)
        field.addWidget(label)
        field.addWidget(self.rising)
        field.addStretch(1)
        right.addLayout(field)
        right.addWidget(self.chips)
        right.addWidget(self.problem)
        right.addWidget(QLabel(_("Gross margin per m² at other prices and yields")))
        right.addWidget(RowsTable(self.grid, _("Gross margin at other prices and yields")))
        right.addStretch(1)
        left = QVBoxLayout()
        left.addWidget(RowsTable(self.parts, _("Income and costs of the group")))
        left.addStretch(1)
        both = QHBoxLayout()
        both.setSpacing(24)
        both.addLayout(left, 1)
        both.addLayout(right, 1)
        return both
