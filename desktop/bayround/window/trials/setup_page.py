"""Set a trial up step by step: question, treatments, plots, replicates; draw it; see what it could find; keep it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import trials
from bayround.actions.trials import TrialBook
from bayround.facts.trials import TrialDesign
from bayround.figures.trial_plan import Layout, Plan, PlotKind, place_in_words
from bayround.figures.trial_plots import MEASURES
from bayround.window import theme
from bayround.window.bay.page_parts import text_label
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.check_list import CheckList
from bayround.window.parts.day_field import DayField
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.notice import STOP, Notice
from bayround.window.parts.whole_table import roomy_list
from bayround.window.trials.layout_view import Box, LayoutView
from bayround.words import _

_DESIGNS = (
    (TrialDesign.BLOCKS, "randomised blocks: every treatment once in each block"),
    (TrialDesign.COMPLETELY_RANDOMISED, "completely randomised: plots that are all alike"),
    (TrialDesign.SPLIT_PLOT, "split plot: one factor between houses or bays, one within"),
    (TrialDesign.NO_REPLICATION, "no replication: described, not tested"),
)
_KINDS = (
    (PlotKind.ROWS, "rows of a bay"),
    (PlotKind.PART_OF_ROW, "a part of a row"),
    (PlotKind.BAY, "a whole bay"),
    (PlotKind.HOUSE, "a whole house"),
    (PlotKind.NO_PLACE, "typed later, no place on the farm"),
)


class SetupPage(QScrollArea):
    """A form; what is drawn stands below it and is kept with Ctrl+S.

    Attributes:
        saved: a trial was kept (its id).
    """

    saved = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.layout_drawn: Layout | None = None
        self.names: dict[str, str] = {}
        self.name, self.question, self.factor = QLineEdit(), QLineEdit(), QLineEdit()
        self.factor.setPlaceholderText(_("variety, ground cover, training …"))
        self.treatments, self.sub_factor, self.sub_treatments = QLineEdit(), QLineEdit(), QLineEdit()
        self.design, self.kind, self.measure = QComboBox(), QComboBox(), QComboBox()
        self.replicates = AmountField(_("Replicates or blocks"), low=1, high=100, needed=True)
        self.rows = AmountField(_("Rows to a plot"), low=1, high=50)
        self.seed = AmountField(_("Seed of the lot"), low=0, high=999_999, needed=True)
        self.spread = AmountField(_("Plots vary by (%)"), decimals=1, high=200)
        self.usual = AmountField(_("A plot usually brings"), decimals=2)
        self.started = DayField(_("Begins on"), needed=True)
        self.bays = CheckList(_("Bays in which plots may lie"))
        self.draw, self.keep = QPushButton(_("&Draw the layout")), QPushButton(_("&Keep the trial  (Ctrl+S)"))
        self.notice, self.chips, self.drawing = Notice(), FigureChips(), LayoutView()
        self.cautions = text_label()
        self._lay_out()
        self._join()
        self.drawing.hide()

    def start(self, book: TrialBook) -> None:
        """Begin an empty trial; the farm's bays are offered as places."""
        houses = {house.id: house.name for house in book.season.houses}
        self.names = {bay.id: bay.name for bay in book.season.bays}
        lines = [(bay.id, f"{houses[bay.house_id]} · {bay.name}") for bay in book.season.bays]
        self.bays.show_lines(lines)
        for field in (self.name, self.question, self.factor, self.treatments, self.sub_factor):
            field.clear()
        self.sub_treatments.clear()
        self.replicates.show_amount(4)
        self.rows.show_amount(1)
        self.seed.show_amount(self.desk.today().toordinal() % 100_000)
        self.spread.show_amount(12)
        self.usual.show_amount(None)
        self.started.show_day(self.desk.today())
        self._forget()
        self.notice.clear()

    @property
    def is_changed(self) -> bool:
        """Something of a trial stands here that is not kept."""
        return bool(self.name.text().strip() or self.treatments.text().strip())

    def draw_layout(self) -> None:
        """Draw the layout and show what difference it could see."""
        plan = self._plan()
        if plan is None:
            return
        farm = self.desk.farm
        self.desk.tasks.ask(lambda: trials.propose(farm, plan), self._show, self._refused)

    def save(self) -> None:
        """Keep the trial as it is drawn."""
        layout, day = self.layout_drawn, self.started.day()
        if layout is None or day is None:
            self.notice.say(STOP, self.started.problem() or _("Draw the layout first."))
            return
        farm = self.desk.farm
        self.desk.tasks.change(
            lambda: trials.save(farm, layout, day), lambda trial: self._saved(trial.id), self.notice.refuse
        )

    def _plan(self) -> Plan | None:
        fields = (self.replicates, self.rows, self.seed, self.spread, self.usual, self.started)
        problems = [text for field in fields if (text := field.problem())]
        if problems:
            self.notice.say(STOP, "\n".join(problems))
            return None
        measure = str(self.measure.currentData())
        return Plan(
            name=self.name.text(),
            question=self.question.text(),
            main_factor=self.factor.text(),
            treatments=_split(self.treatments.text()),
            design=TrialDesign(self.design.currentData()),
            replicates=self.replicates.whole() or 1,
            seed=self.seed.whole() or 0,
            measure=measure,
            measure_unit=_(MEASURES[measure].unit),
            sub_factor=self.sub_factor.text(),
            sub_treatments=_split(self.sub_treatments.text()),
            plot_kind=PlotKind(self.kind.currentData()),
            bay_ids=self.bays.ticked,
            rows_per_plot=self.rows.whole() or 1,
            spread_percent=self.spread.amount() or 0.0,
            usual_mean=self.usual.amount(),
        )

    def _show(self, layout: Layout) -> None:
        self.layout_drawn = layout
        self.notice.clear()
        self.chips.show_figures([layout.detectable])
        missing = [layout.detectable.missing] if layout.detectable.missing else []
        self.cautions.setText("\n".join(f"▲ {text}" for text in (*missing, *layout.cautions)))
        self.cautions.setVisible(bool(self.cautions.text()))
        self.drawing.show_boxes(
            [
                Box(
                    _("Block {n}").format(n=plot.block) if plot.block else _("Plots"),
                    str(plot.number),
                    plot.main_level,
                    plot.sub_level,
                    place_in_words(plot, self.names),
                )
                for plot in layout.plots
            ]
        )
        self.keep.setEnabled(True)

    def _refused(self, error: BaseException) -> None:
        self._forget()
        self.notice.refuse(error)

    def _saved(self, trial_id: str) -> None:
        self.name.clear()
        self.treatments.clear()
        self._forget()
        self.desk.tell(_("The trial is kept."))
        self.saved.emit(trial_id)

    def _forget(self) -> None:
        """What was drawn holds no longer."""
        self.layout_drawn = None
        self.keep.setEnabled(False)
        self.chips.show_figures([])
        self.drawing.show_boxes(())
        self.cautions.hide()

    def _join(self) -> None:
        self.draw.clicked.connect(self.draw_layout)
        self.keep.clicked.connect(self.save)
        for line in (
            self.name,
            self.question,
            self.factor,
            self.treatments,
            self.sub_factor,
            self.sub_treatments,
        ):
            line.textEdited.connect(lambda _text: self._forget())
            line.returnPressed.connect(self.focusNextChild)
        for field in (self.replicates, self.rows, self.seed, self.spread, self.usual):
            field.textEdited.connect(lambda _text: self._forget())
            field.returnPressed.connect(self.draw_layout)
        for box in (self.design, self.kind, self.measure):
            box.activated.connect(lambda _place: self._chosen())
        self.bays.edited.connect(self._forget)

    def _chosen(self) -> None:
        self._forget()
        split = self.design.currentData() == TrialDesign.SPLIT_PLOT
        for field in (self.sub_factor, self.sub_treatments):
            field.setEnabled(split)
        placed = self.kind.currentData() != PlotKind.NO_PLACE
        self.bays.setEnabled(placed)
        self.rows.setEnabled(self.kind.currentData() == PlotKind.ROWS)

    def _lay_out(self) -> None:
        for box, choices in ((self.design, _DESIGNS), (self.kind, _KINDS)):
            for value, text in choices:
                name, _between, _meaning = _(text).partition(": ")
                box.addItem(name, value)
                box.setItemData(box.count() - 1, _(text), Qt.ItemDataRole.ToolTipRole)
        for key, measure in MEASURES.items():
            self.measure.addItem(f"{_(measure.label)} {_(measure.unit)}".strip(), key)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(3, 2)
        for box in (self.design, self.kind, self.measure):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(12)
            roomy_list(box)
        for row, (text, widget) in enumerate(self._left()):
            _put(grid, row, 0, text, widget)
        for row, (text, widget) in enumerate(self._right()):
            _put(grid, row, 2, text, widget)
        grid.addWidget(QLabel(_("Bays for the plots (Space ticks)")), 7, 2, 1, 2)
        self.bays.setFixedHeight(130)
        grid.addWidget(self.bays, 8, 2, 3, 2)
        buttons = QHBoxLayout()
        self.draw.setProperty("main", True)
        buttons.setSpacing(8)
        for button in (self.draw, self.keep):
            buttons.addWidget(button)
        buttons.addStretch(1)
        grid.addLayout(buttons, 10, 0, 1, 2)
        page = self._column(grid)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(page)
        self._chosen()

    def _column(self, grid: QGridLayout) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(8, 4, 12, 8)
        column.setSpacing(8)
        title = QLabel(_("A new trial"))
        title.setFont(theme.scaled(self.font(), 1.3, bold=True))
        column.addWidget(title)
        column.addLayout(grid)
        for part in (self.notice, self.chips, self.cautions, self.drawing):
            column.addWidget(part)
        column.addStretch(1)
        return page

    def _left(self) -> tuple[tuple[str, QWidget], ...]:
        self.treatments.setPlaceholderText(_("separated by commas"))
        self.sub_treatments.setPlaceholderText(_("separated by commas; split plot only"))
        return (
            (_("Name of the trial"), self.name),
            (_("The question"), self.question),
            (_("What is compared"), self.factor),
            (_("Treatments"), self.treatments),
            (_("Laid out as"), self.design),
            (_("Compared within (split plot)"), self.sub_factor),
            (_("Treatments within"), self.sub_treatments),
            (_("One plot is"), self.kind),
            (_("Judged by"), self.measure),
        )

    def _right(self) -> tuple[tuple[str, QWidget], ...]:
        fields = (self.replicates, self.rows, self.seed, self.spread, self.usual, self.started)
        return tuple((field.name, field) for field in fields)


def _put(grid: QGridLayout, row: int, column: int, text: str, widget: QWidget) -> None:
    label = QLabel(text)
    label.setBuddy(widget)
    if not widget.accessibleName():
        widget.setAccessibleName(text)
    grid.addWidget(label, row, column)
    grid.addWidget(widget, row, column + 1)


def _split(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.replace(";", ",").split(",") if part.strip())
