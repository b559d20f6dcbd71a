"""Load on a crop wire for a span and a sag; the caution stands on the page before any figure does."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.actions import insight as insight_actions
from bayround.actions.insight import BayInsight, TrellisLoad, Wire
from bayround.window.bay.page_parts import BayPage, text_label
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField
from bayround.window.parts.figure_chips import FigureChips
from bayround.window.parts.notice import STOP, Notice
from bayround.words import _


class WirePage(BayPage):
    """Span, sag, plants on the span; mass and pull below. Nothing typed here is kept."""

    title = "Load on a wire"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.span = AmountField(
            _("Span between two supports (m)"), decimals=2, low=0.1, high=100, needed=True
        )
        self.sag = AmountField(_("Sag at its middle (m)"), decimals=3, low=0.001, high=10, needed=True)
        self.plants = AmountField(_("Plants hung on this span"), decimals=1, low=0.1, high=1000, needed=True)
        self.wire = AmountField(_("Mass of the wire itself (kg/m)"), decimals=3, high=5)
        self.fields = (self.span, self.sag, self.plants, self.wire)
        self.reckon = QPushButton(_("&Reckon"))
        self.reckon.setProperty("main", True)
        self.notice, self.chips = Notice(), FigureChips()
        self.answer = text_label(name="heading")
        box = QFrame()
        box.setObjectName("caution")
        self.caution = text_label(insight_actions.wire_caution())
        inside = QVBoxLayout(box)
        inside.addWidget(self.caution)
        self.column.addWidget(box)
        self.column.addWidget(self._form())
        for part in (self.notice, self.answer, self.chips):
            self.column.addWidget(part)
        self.column.addStretch(1)
        self.reckon.clicked.connect(self._reckon)
        for field in self.fields:
            field.returnPressed.connect(self._reckon)

    def show_insight(self, insight: BayInsight) -> None:
        """Show a bay; span and sag typed for another bay stay, the plants follow the bay's own spacing."""
        is_new = self.insight is None or self.insight.past.bay.id != insight.past.bay.id
        super().show_insight(insight)
        if insight.wire is None:
            return
        if not self.span.text():
            self.span.show_amount(insight.wire.span_m)
            self.sag.show_amount(insight.wire.sag_m)
        if is_new:
            self.plants.show_amount(insight_actions.plants_on_span(insight.past, self.span.amount() or 3.0))
            self._reckon()

    def _form(self) -> QWidget:
        form = QWidget()
        grid = QGridLayout(form)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(8)
        for row, field in enumerate(self.fields):
            label = QLabel(field.name)
            label.setBuddy(field)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
            field.setMaximumWidth(140)
        grid.addWidget(self.reckon, len(self.fields), 0)
        grid.setColumnStretch(2, 1)
        return form

    def _reckon(self) -> None:
        insight = self.insight
        problems = [text for field in self.fields if (text := field.problem())]
        if insight is None or problems:
            self.notice.say(STOP, "\n".join(problems))
            return
        self.notice.clear()
        typed = Wire(
            self.span.amount() or 0.0,
            self.sag.amount() or 0.0,
            self.plants.amount() or 0.0,
            self.wire.amount() or 0.0,
        )
        farm, past = self.desk.farm, insight.past
        self.desk.tasks.ask(lambda: insight_actions.wire_load(farm, past, typed), self._show, self._refused)

    def _show(self, load: TrellisLoad) -> None:
        self.caution.setText(load.caution)
        self.answer.setText(load.sentence)
        self.chips.show_figures(list(load.figures.values()))

    def _refused(self, error: BaseException) -> None:
        self.answer.setText("")
        self.chips.show_figures([])
        self.notice.refuse(error)
