"""What a trial says: verdict, differences with intervals, means with letters, then the tests and what is missing."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.actions import file_names, sheets, trials
from bayround.actions.jobs import Moment
from bayround.actions.trials import Method, Scale, TrialView
from bayround.facts.season import SeasonFacts
from bayround.figures.trial_report import EffectLine, TestLine, TreatmentLine, TrialReport
from bayround.figures.trial_sentences import SCALES
from bayround.window import page_painting, theme
from bayround.window.bay.page_parts import text_label
from bayround.window.bay.rows_table import RowsModel, RowsTable
from bayround.window.desk import Desk
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.notice import Notice
from bayround.window.trials.layout_view import Box, LayoutView
from bayround.window.trials.trial_charts import EffectChart, ResidualChart
from bayround.window.trials.trial_map import TrialMap
from bayround.words import _

_EFFECTS = ("First less second", "Difference", "Interval", "Unit", "p", "Told apart")
_MEANS = ("Compared", "Treatment", "Mean", "Interval", "Plots", "Letters")
_TESTS = ("Source", "Degrees of freedom", "Sum of squares", "Mean square", "F", "p", "Tested against")


class ResultPage(QScrollArea):
    """Shows one trial; scale and way of comparing can be chosen, what is tested against what can't.

    Attributes:
        changed: values of plots were kept, or the trial was closed.
    """

    changed = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.view: TrialView | None = None
        self.report: TrialReport | None = None
        self.title, self.about = QLabel(), text_label(name="quiet")
        self.title.setFont(theme.scaled(self.font(), 1.3, bold=True))
        self.verdict = text_label()
        self.verdict.setFont(theme.scaled(self.font(), 1.1, bold=True))
        self.scale, self.method = QComboBox(), QComboBox()
        self.effects, self.means, self.tests = (
            RowsModel(_EFFECTS, left=(0, 5)),
            RowsModel(_MEANS, left=(0, 1, 5)),
            RowsModel(_TESTS, left=(0, 6)),
        )
        self.chart, self.residuals, self.layout_view = EffectChart(), ResidualChart(), LayoutView()
        self.chips, self.notice = FigureChips(), Notice()
        self.notes, self.cannot = text_label(), text_label()
        self.values = QPlainTextEdit()
        self.keep, self.end = QPushButton(_("&Keep these values")), QPushButton(_("Close the trial today"))
        self.print, self.map = QPushButton(_("Print the la&yout …")), TrialMap()
        self._fill_choices()
        self._lay_out()

    def show_trial(self, view: TrialView, season: SeasonFacts) -> None:
        """Show a trial and have it analysed anew on the plain scale."""
        if self.view is None or self.view.trial.id != view.trial.id:
            self.scale.setCurrentIndex(0)
            self.values.clear()
        self.view = view
        trial = view.trial
        self.title.setText(trial.name)
        replicates = words.counted("{n} plot", "{n} plots", len(view.plots))
        ended = _("ended {day}").format(day=words.day(trial.ended_on)) if trial.ended_on else _("running")
        seed = "" if trial.seed is None else " · " + _("drawn with seed {n}").format(n=trial.seed)
        self.about.setText(
            f"{trial.question}\n{_(trial.design.value)} · {replicates}, "
            + _("{n} with a value").format(n=view.filled)
            + f" · {_('since')} {words.day(trial.started_on)} · {ended}{seed}"
        )
        self.end.setEnabled(trial.ended_on is None)
        self.layout_view.show_boxes(
            [
                Box(
                    _("Block {n}").format(n=one.plot.block) if one.plot.block else _("Plots"),
                    one.plot.name + ("" if one.value is None else f"  {words.number(one.value, 2)}"),
                    one.plot.main_level,
                    one.plot.sub_level,
                    view.places.get(one.plot.id, ""),
                )
                for one in view.plots[:96]
            ]
        )
        self.map.show_plots([one.plot for one in view.plots], season)
        self.analyse()

    def print_layout(self) -> None:
        """Write the layout as pages, to where the person says."""
        view, farm = self.view, self.desk.farm
        if view is None:
            return
        title = _("Trial {name}").format(name=view.trial.name)
        name = file_names.safe(title, ".pdf")
        path = self.desk.questions.file_to_save(title, farm.path.parent / name, _("Pages (*.pdf)"))
        if path is None:
            return
        to = path if path.suffix else path.with_suffix(".pdf")
        self.desk.tasks.ask(
            lambda: sheets.write_pages(sheets.trial_sheet(farm, view), to, page_painting.paint_pdf),
            lambda written: self.desk.tell(_("{file}: written.").format(file=written.name)),
            self.notice.refuse,
        )

    def analyse(self) -> None:
        """Analyse the trial on the scale and in the way chosen."""
        if self.view is None:
            return
        farm, today, key = self.desk.farm, self.desk.today(), self.view.trial.id
        scale, method = Scale(self.scale.currentData()), Method(self.method.currentData())
        self.notice.clear()
        self.desk.tasks.ask(
            lambda: trials.analyse(farm, key, today, scale=scale, method=method), self._show, self._refused
        )

    def _show(self, report: TrialReport) -> None:
        self.report = report
        self.verdict.setText(report.verdict)
        self.effects.show_rows([(_effect_cells(line), line.difference) for line in report.effects])
        self.means.show_rows([(_mean_cells(line), line.mean) for line in report.means])
        self.tests.show_rows([(_test_cells(line), line.f) for line in report.lines])
        self.chart.show_lines(report.effects)
        self.residuals.show_report(report)
        self.chips.show_figures(report.differences)
        self.notes.setText("\n".join(f"· {text}" for text in report.notes))
        self.cannot.setText("\n".join(f"▲ {text}" for text in report.cannot))

    def _refused(self, error: BaseException) -> None:
        self.report = None
        for model in (self.effects, self.means, self.tests):
            model.show_rows([])
        self.chart.show_lines(())
        self.residuals.hide()
        self.chips.show_figures([])
        for label in (self.verdict, self.notes, self.cannot):
            label.setText("")
        self.notice.refuse(error)

    def _keep_values(self) -> None:
        if self.view is None or not self.values.toPlainText().strip():
            return
        farm, key, text = self.desk.farm, self.view.trial.id, self.values.toPlainText()
        moment = Moment(self.desk.today(), self.desk.now(), self.desk.person_id)
        self.desk.tasks.change(
            lambda: trials.paste_values(farm, key, text, moment), self._kept, self.notice.refuse
        )

    def _kept(self, changed: int) -> None:
        self.values.clear()
        self.desk.tell(words.counted("{n} value was kept.", "{n} values were kept.", changed))
        if self.view is not None:
            self.changed.emit(self.view.trial.id)

    def _end(self) -> None:
        if self.view is None:
            return
        farm, key, today = self.desk.farm, self.view.trial.id, self.desk.today()
        moment = Moment(today, self.desk.now(), self.desk.person_id)
        self.desk.tasks.change(
            lambda: trials.end(farm, key, today, moment),
            lambda _done: self.changed.emit(key),
            self.notice.refuse,
        )

    def _fill_choices(self) -> None:
        for scale, text in SCALES.items():
            self.scale.addItem(_(text), scale)
        self.scale.setAccessibleName(_("Scale"))
        self.method.setAccessibleName(_("How pairs are compared"))
        self.method.addItem(_("all pairs together (Tukey)"), Method.TUKEY.value)
        self.method.addItem(_("pair by pair, after a significant F"), Method.LSD.value)
        self.scale.activated.connect(lambda _place: self.analyse())
        self.method.activated.connect(lambda _place: self.analyse())
        self.keep.clicked.connect(self._keep_values)
        self.end.clicked.connect(self._end)
        self.print.clicked.connect(self.print_layout)
        self.values.setAccessibleName(_("Values of plots to keep"))
        self.values.setPlaceholderText(
            _("Paste or type one plot a line: plot, value. Empty value: plot lost.")
        )
        self.values.setFixedHeight(84)
        self.values.setTabChangesFocus(True)

    def _lay_out(self) -> None:
        choices = QHBoxLayout()
        choices.setSpacing(8)
        for text, box in ((_("S&cale"), self.scale), (_("P&airs"), self.method)):
            label = QLabel(text)
            label.setBuddy(box)
            choices.addWidget(label)
            choices.addWidget(box)
        choices.addStretch(1)
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        for button in (self.keep, self.end, self.print):
            buttons.addWidget(button)
        buttons.addStretch(1)
        page = self._column(choices, buttons)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(page)

    def _column(self, choices: QHBoxLayout, buttons: QHBoxLayout) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(8, 4, 12, 8)
        column.setSpacing(8)
        for part in (self.title, self.about, self.notice, self.verdict):
            column.addWidget(part)
        column.addWidget(_heading(_("How large the differences are")))
        column.addWidget(self.chart)
        column.addWidget(RowsTable(self.effects, _("Differences"), most_rows=15))
        column.addWidget(_heading(_("Means (treatments that share a letter are not told apart)")))
        column.addWidget(RowsTable(self.means, _("Means"), most_rows=15))
        column.addLayout(choices)
        column.addWidget(_heading(_("Tests and yardsticks")))
        column.addWidget(RowsTable(self.tests, _("Analysis of variance")))
        column.addWidget(self.chips)
        column.addWidget(self.residuals)
        column.addWidget(self.notes)
        column.addWidget(_heading(_("What this trial can't answer")))
        column.addWidget(self.cannot)
        column.addWidget(_heading(_("Plots")))
        column.addWidget(self.layout_view)
        column.addWidget(self.map)
        column.addWidget(self.values)
        column.addLayout(buttons)
        column.addStretch(1)
        return page


def _effect_cells(line: EffectLine) -> tuple[str, ...]:
    return (
        line.difference.label,
        line.difference.text,
        line.difference.interval_text or words.MISSING,
        line.difference.unit,
        line.p_value.text if line.p_value else _("not tested"),
        {True: _("yes"), False: _("no"), None: words.MISSING}[line.told_apart],
    )


def _mean_cells(line: TreatmentLine) -> tuple[str, ...]:
    interval = line.mean.interval_text or words.MISSING
    return line.factor, line.treatment, line.mean.text_with_unit, interval, str(line.plots), line.letters


def _test_cells(line: TestLine) -> tuple[str, ...]:
    return (
        line.source,
        str(line.degrees_of_freedom),
        line.sum_of_squares.text,
        line.mean_square.text,
        line.f.text if line.f else "",
        line.p_value.text if line.p_value else "",
        line.tested_against,
    )


def _heading(text: str) -> QLabel:
    label = QLabel(text)
    label.setObjectName("heading")
    return label
