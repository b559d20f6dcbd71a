"""Stop plans of a crop: what each threshold costs in plants inspected and wrong calls, exactly."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QListWidget, QVBoxLayout, QWidget

from bayround import words
from bayround.actions.profiles import (
    SCATTER_SOURCE,
    CropNumbers,
    OwnScatter,
    PlanView,
    sentences,
    table_lines,
)
from bayround.window import theme
from bayround.window.parts.pane import Pane
from bayround.window.profiles.plan_chart import PlanChart
from bayround.words import _


class PlansPage(QWidget):
    """Organisms on the left; words, chart and stop table of the chosen one on the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plans: tuple[PlanView, ...] = ()
        self._scatter: tuple[OwnScatter, ...] = ()
        self.list = QListWidget()
        self.list.setAccessibleName(_("Stop plans"))
        self.list.setMaximumWidth(300)
        self.title, self.words, self.source, self.table = (_label() for _part in range(4))
        self.title.setFont(theme.scaled(self.font(), 1.15, bold=True))
        self.source.setObjectName("quiet")
        self.chart = PlanChart()
        page = QFrame()
        page.setObjectName("panel")
        column = QVBoxLayout(page)
        column.setContentsMargins(16, 16, 16, 16)
        column.setSpacing(8)
        for part in (self.title, self.words, self.chart, self.table, self.source):
            column.addWidget(part)
        column.addStretch(1)
        scroll = Pane(_("The chosen stop plan"), page)
        scroll.setWidgetResizable(True)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 8, 0, 0)
        layout.setSpacing(16)
        layout.addWidget(self.list)
        layout.addWidget(scroll, 1)
        self.list.currentRowChanged.connect(self._show)

    def show_numbers(self, numbers: CropNumbers) -> None:
        """Show a crop's plans; the cursor stays where it was."""
        row = max(self.list.currentRow(), 0)
        self._plans, self._scatter = numbers.plans, numbers.scatter
        self.list.clear()
        self.list.addItems([*(plan.title for plan in self._plans), *(one.title for one in self._scatter)])
        self.list.setCurrentRow(min(row, self.list.count() - 1))

    def _show(self, row: int) -> None:
        is_plan = 0 <= row < len(self._plans)
        self.chart.setVisible(is_plan)
        self.table.setVisible(is_plan)
        if not is_plan:
            self._show_scatter(row - len(self._plans))
            return
        view = self._plans[row]
        self.title.setText(view.title)
        self.words.setText("\n".join(sentences(view)))
        self.chart.show_plan(view)
        self.table.setText(stop_text(view))
        plan = view.threshold.plan
        source = plan.source if plan else ""
        note = view.threshold.applies_note
        self.source.setText("\n".join(part for part in (_("Source: {s}").format(s=source), note) if part))

    def _show_scatter(self, place: int) -> None:
        """Show how the farm's own card counts scatter and which plans follow."""
        if not 0 <= place < len(self._scatter):
            return
        view = self._scatter[place]
        self.title.setText(view.title)
        self.words.setText("\n\n".join(view.lines))
        self.source.setText(_("Source: {s}").format(s=SCATTER_SOURCE))


def stop_text(view: PlanView) -> str:
    """Return the stop table in words, a line where an answer changes."""
    lines = [_("Stop table: after so many inspected, leave it at … infested or fewer, act from … on.")]
    for inspected, leave, act in table_lines(view):
        lines.append(
            _("{n}:  leave {leave}   act {act}").format(
                n=inspected,
                leave=words.MISSING if leave is None else f"≤ {leave}",
                act=words.MISSING if act is None else f"≥ {act}",
            )
        )
    return "\n".join(lines)


def _label() -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
