"""What a file would bring, before anything is changed; how it is read can be put right and is looked at anew."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.actions.imports import preview_words
from bayround.actions.imports.preview import Preview, State
from bayround.facts.season import SeasonFacts
from bayround.window import theme
from bayround.window.imports.how_read import HowRead
from bayround.window.imports.lines_model import LinesModel
from bayround.window.parts.whole_table import WholeTable
from bayround.words import _

_MOST_FITTED = 500  # lines; more would take too long to measure


class _Lines(WholeTable):
    def fit(self) -> None:
        """Fit columns and rows, unless there are too many lines to measure."""
        if self.model().rowCount() <= _MOST_FITTED:
            super().fit()


class PreviewDialog(QDialog):
    """Accepted when the person wants it in; `said` asks for another look with `how.options()`.

    Attributes:
        preview: what is shown.
    """

    said = Signal()

    def __init__(self, preview: Preview, known: SeasonFacts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Bring in"))
        self.preview = preview
        self.how, self.model = HowRead(known), LinesModel()
        self.how.said.connect(self._look_again)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 20, 24, 16)
        layout.setSpacing(10)
        heading = QLabel(_("What “{file}” brings").format(file=preview.file_name))
        heading.setObjectName("heading")
        heading.setTextFormat(Qt.TextFormat.PlainText)
        self.asks = _words_label()
        self.asks.setFont(theme.scaled(self.asks.font(), 1.0, bold=True))
        self.notes = _words_label()
        layout.addWidget(heading)
        layout.addWidget(self.asks)
        middle = QHBoxLayout()
        middle.setSpacing(20)
        self.how.setFixedWidth(340)
        middle.addWidget(self.how)
        middle.addLayout(self._lines(), 1)
        layout.addLayout(middle, 1)
        layout.addWidget(self.notes)
        layout.addLayout(self._buttons())
        self.setAccessibleName(heading.text())
        if parent is not None:
            self.resize(min(1180, parent.width() - 40), min(680, parent.height() - 40))
        self.show_preview(preview)
        (self.how.asked(preview) or self.table).setFocus()

    def _lines(self) -> QVBoxLayout:
        self.only = QComboBox()
        self.only.setAccessibleName(_("Which lines are shown"))
        self.only.activated.connect(lambda _place: self._narrow())
        label = QLabel(_("&Lines"))
        label.setBuddy(self.only)
        self._narrowing = (label, self.only)
        top = QHBoxLayout()
        top.addWidget(label)
        top.addWidget(self.only)
        top.addStretch(1)
        self.table = _Lines()
        self.table.wraps = {0: 12, 1: 20, 2: 24, 3: 24}
        self.table.setModel(self.model)
        self.table.setAccessibleName(_("What becomes of each line"))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setTabKeyNavigation(False)
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.horizontalHeader().setHighlightSections(False)
        self.nothing = _words_label()
        self.nothing.setObjectName("quiet")
        self.nothing.setText(
            _("What becomes of each line is shown here as soon as the question above is answered.")
        )
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        box = QVBoxLayout()
        box.setSpacing(8)
        box.addLayout(top)
        box.addWidget(self.table, 1)
        box.addWidget(self.nothing, 1)
        return box

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        self.sums = QLabel()
        row.addWidget(self.sums)
        row.addStretch(1)
        cancel = QPushButton(_("Cancel"))
        cancel.setAutoDefault(False)
        cancel.clicked.connect(self.reject)
        row.addWidget(cancel)
        self.bring = QPushButton(_("&Bring in"))
        self.bring.setDefault(True)
        self.bring.setProperty("main", True)
        self.bring.clicked.connect(self.accept)
        row.addWidget(self.bring)
        return row

    def show_preview(self, preview: Preview) -> None:
        """Show another look at the same file."""
        self.preview = preview
        self.how.show_preview(preview)
        chosen = self.only.currentData()
        self.only.clear()
        self.only.addItem(_("all ({n})").format(n=len(preview.items)), None)
        for state in State:
            if count := preview.count(state):
                self.only.addItem(f"{preview_words.state_word(state)} ({count})", state)
        self.only.setCurrentIndex(max(0, self.only.findData(chosen) if chosen is not None else 0))
        self.model.narrow(self.only.currentData())
        self.model.show(preview.items)
        for part in (*self._narrowing, self.table):
            part.setVisible(bool(preview.items))
        self.nothing.setVisible(not preview.items)
        self._fit_rows()
        self._say("asks", preview_words.asked(preview))
        self._say("notes", preview_words.remarks(preview))
        if not preview.needs and not preview.anything:
            self._say("asks", (_("There is nothing to bring in."),))
        self.sums.setText(", ".join(preview_words.told(preview)))
        self.bring.setEnabled(preview.anything)
        self.setAccessibleDescription(f"{self.asks.text()} {self.sums.text()}".strip())

    def showEvent(self, event: QShowEvent) -> None:
        """Fit the rows to the columns, whose widths are known now."""
        super().showEvent(event)
        self._fit_rows()

    def _narrow(self) -> None:
        self.model.narrow(self.only.currentData())
        self._fit_rows()

    def _fit_rows(self) -> None:
        if self.model.rowCount() <= _MOST_FITTED:
            self.table.fit()

    def refuse(self, error: BaseException) -> None:
        """Show why the file can't be read in the way that is said now."""
        self._say("asks", (str(error),))
        self.bring.setEnabled(False)

    def _say(self, name: str, lines: tuple[str, ...]) -> None:
        label: QLabel = getattr(self, name)
        label.setText(" ".join(lines))
        label.setVisible(bool(lines))

    def _look_again(self) -> None:
        self.bring.setEnabled(False)
        self.said.emit()


def _words_label() -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
