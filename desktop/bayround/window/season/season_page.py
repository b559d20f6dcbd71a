"""What a season brought, a row a group; the column under the cursor is drawn with its intervals."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from bayround import words
from bayround.actions.season import SeasonBook
from bayround.figures.season import AREA_BASIS, COLUMNS, GroupBy, SeasonLine
from bayround.window.bay.page_parts import text_label
from bayround.window.season.figure_table import FigureModel, FigureRow, FigureTable
from bayround.window.season.group_chart import GroupChart
from bayround.words import _


class SeasonPage(QScrollArea):
    """Table above, chart of one column below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = FigureModel((_("Crop"), _("Group")))
        self.table = FigureTable(self.model, _("The season by group"), most_rows=11)
        self.said, self.notes, self.chart = text_label(), text_label(name="quiet"), GroupChart()
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(8, 8, 8, 8)
        column.setSpacing(8)
        for part in (self.table, self.said, self.chart, self.notes):
            column.addWidget(part)
        column.addStretch(1)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(page)
        self.table.moved.connect(self._moved)

    def show_lines(
        self, book: SeasonBook, lines: tuple[SeasonLine, ...], by: GroupBy, ages: dict[str, int]
    ) -> None:
        """Show a season's lines; *ages* are the days after transplanting up to which years are compared."""
        self.model.show_rows(
            [
                FigureRow(
                    line.key,
                    (book.crops[line.crop], line.label),
                    tuple(line.figures[column] for column in COLUMNS),
                )
                for line in lines
            ]
        )
        self.notes.setText("\n".join(notes(book, by, ages)))
        if self.model.rows and not self.table.currentIndex().isValid():
            self.table.setCurrentIndex(self.model.index(0, 2 + COLUMNS.index("season_kg_m2")))
        self._moved(self.said.text())

    def _moved(self, text: str) -> None:
        self.said.setText(text)
        self.chart.show_lines(self.model.column_figures(self.table.currentIndex().column()))


def notes(book: SeasonBook, by: GroupBy, ages: dict[str, int]) -> tuple[str, ...]:
    """Return what has to be known beside the table."""
    found = [_(AREA_BASIS)]
    if by is GroupBy.YEAR:
        told = ", ".join(
            f"{book.crops[crop]} {words.counted('{n} day', '{n} days', days)}" for crop, days in ages.items()
        )
        found.append(_("Every year up to the same age after transplanting: {ages}.").format(ages=told))
        if len(book.years) == 1:
            found.append(_("There is one year so far; the next one will stand beside it."))
    elif by is not GroupBy.BAY:
        found.append(
            _(
                "An interval says how much the bays of a group differ (95 %). It is no test: what stood where was not drawn by lot. A trial tells."
            )
        )
    return tuple(found)
