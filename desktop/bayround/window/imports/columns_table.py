"""What each column of a spreadsheet holds: its heading, its first values, and a choice."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from bayround.actions.imports import matching, preview_words
from bayround.actions.imports.preview import Kind, Preview
from bayround.window.parts.whole_table import roomy_list
from bayround.words import _


class ColumnsTable(QTableWidget):
    """One line a column; `chosen` tells that a person chose something else."""

    chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, 2, parent)
        self.setAccessibleName(_("What the columns hold"))
        self.setHorizontalHeaderLabels([_("Column"), _("Holds")])
        self.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QTableWidget.SelectionMode.NoSelection)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Fixed)
        self.setColumnWidth(1, 150)
        self.horizontalHeader().setHighlightSections(False)
        self._numbers: list[int] = []
        self._shown: tuple[object, ...] = ()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let long values stand on two lines."""
        super().resizeEvent(event)
        self.resizeRowsToContents()

    def show_preview(self, preview: Preview) -> None:
        """Show the columns and what they were taken for; the same ones are only chosen anew."""
        kind = preview.kind if preview.kind in matching.PARTS else Kind.READINGS
        seen = (kind, tuple((one.number, one.heading) for one in preview.columns))
        if seen != self._shown:
            self._shown = seen
            self._build(preview, kind)
        for row, column in enumerate(preview.columns):
            box = self.box(row)
            box.blockSignals(True)
            box.setCurrentIndex(max(0, box.findData(column.holds)))
            box.blockSignals(False)

    def box(self, row: int) -> QComboBox:
        """Return the choice of a line."""
        found = self.cellWidget(row, 1)
        assert isinstance(found, QComboBox)
        return found

    def columns(self) -> dict[int, str] | None:
        """Return what a person sees chosen, for every column."""
        if not self._numbers:
            return None
        return {number: str(self.box(row).currentData()) for row, number in enumerate(self._numbers)}

    def _build(self, preview: Preview, kind: Kind) -> None:
        self._numbers = [column.number for column in preview.columns]
        self.setRowCount(len(self._numbers))
        for row, column in enumerate(preview.columns):
            values = ", ".join(column.examples[:2])
            item = QTableWidgetItem(f"{column.heading}\n{values}")
            item.setToolTip(f"{column.heading}: {values}")
            self.setItem(row, 0, item)
            box = QComboBox()
            box.setAccessibleName(_("What “{heading}” holds").format(heading=column.heading))
            for holds in ("", *matching.PARTS[kind]):
                box.addItem(preview_words.label(holds), holds)
            roomy_list(box)
            box.currentIndexChanged.connect(lambda _place: self.chosen.emit())
            self.setCellWidget(row, 1, box)
        self.resizeRowsToContents()
