"""Green or coloured: type two prices, see what waiting brings per m² and from which price it pays."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QWidget

from bayround import words
from bayround.actions import insight as insight_actions
from bayround.actions.insight import BayInsight, ChoiceInputs, ColourChoice
from bayround.window.bay.page_parts import BayPage, text_label
from bayround.window.bay.rows_table import RowsModel, RowsTable
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.notice import STOP, Notice
from bayround.words import _

HEADINGS = ("Coloured ÷ green price", "Lost while waiting", "Gain of waiting per m²")


class ChoicePage(BayPage):
    """Prices and losses on the left, the answer on the right; nothing typed here is kept."""

    title = "Green or coloured"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.green = AmountField(_("Price of green fruit per kg"), decimals=2, needed=True)
        self.coloured = AmountField(_("Price of coloured fruit per kg"), decimals=2, needed=True)
        self.loss = AmountField(_("Lost while waiting (%)"), decimals=1, high=99)
        self.days = AmountField(_("Days until coloured"), decimals=0, high=120)
        self.later = AmountField(
            _("Later fruit lost for a fruit that hangs a week longer"), decimals=2, high=5
        )
        self.value = AmountField(_("Value of a later fruit"), decimals=2)
        self.fields = (self.green, self.coloured, self.loss, self.days, self.later, self.value)
        self.reckon = QPushButton(_("&Reckon"))
        self.reckon.setProperty("main", True)
        self.notice = Notice()
        self.answer = text_label()
        self.answer.setObjectName("heading")
        self.chips = FigureChips()
        self.table = RowsModel(HEADINGS, left=())
        self._lay_out()
        self.reckon.clicked.connect(self._reckon)
        for field in self.fields:
            field.returnPressed.connect(self._reckon)

    def show_insight(self, insight: BayInsight) -> None:
        """Show a bay; prices known to the farm are filled in and reckoned with at once."""
        if self.insight is None or self.insight.past.bay.id != insight.past.bay.id:
            self._fill(insight.choice)
        super().show_insight(insight)
        if self.green.amount() is not None and self.coloured.amount() is not None:
            self._reckon()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(8)
        for row, field in enumerate(self.fields):
            label = QLabel(field.name)
            label.setBuddy(field)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
            field.setMaximumWidth(140)
        line = QHBoxLayout()
        line.addWidget(self.reckon)
        line.addStretch(1)
        note = _(
            "Prices after picking and selling. What is left empty comes from the crop numbers; later fruit count only when you type them in: older fruit hold back the set of younger ones, how much is for your own house to tell."
        )
        left = QWidget()
        inside = QGridLayout(left)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addLayout(grid, 0, 0)
        inside.addLayout(line, 1, 0)
        inside.setColumnStretch(1, 1)
        for part in (text_label(note, "quiet"), left, self.notice, self.answer, self.chips):
            self.column.addWidget(part)
        self.column.addWidget(RowsTable(self.table, _("Gain of waiting by price and loss"), most_rows=15))
        self.column.addStretch(1)

    def _fill(self, choice: ChoiceInputs | None) -> None:
        for field in self.fields:
            field.setText("")
        self.answer.setText("")
        self.chips.show_figures([])
        self.table.show_rows([])
        if choice is not None:
            self.green.show_amount(choice.green_price_per_kg)
            self.coloured.show_amount(choice.coloured_price_per_kg)

    def _reckon(self) -> None:
        insight = self.insight
        problems = [text for field in self.fields if (text := field.problem())]
        if insight is None or problems:
            self.notice.say(STOP, "\n".join(problems))
            return
        self.notice.clear()
        green, coloured = self.green.amount() or 0.0, self.coloured.amount() or 0.0
        typed = tuple(field.amount() for field in self.fields[2:])
        farm, past, today = self.desk.farm, insight.past, self.desk.today()

        def work() -> ColourChoice:
            start = insight_actions.starting_choice(farm, past, green, coloured, today)
            return insight_actions.green_or_coloured(past, insight_actions.with_typed(start, *typed))

        self.desk.tasks.ask(work, self._show, self._refused)

    def _show(self, choice: ColourChoice) -> None:
        self.answer.setText(choice.sentence)
        self.chips.show_figures(list(choice.figures.values()))
        self.table.show_rows(
            [
                (
                    (words.number(ratio, 2), f"{words.number(loss, 1)} %", figure.text),
                    figure,
                )
                for (ratio, loss, _gain), figure in zip(choice.rows, choice.row_figures, strict=True)
            ]
        )

    def _refused(self, error: BaseException) -> None:
        self.answer.setText("")
        self.chips.show_figures([])
        self.table.show_rows([])
        self.notice.refuse(error)
