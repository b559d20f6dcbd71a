"""The Treatments screen: what was applied where and when, and until when its intervals run."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from bayround.actions import inside, treatments
from bayround.actions.treatments import CAUTIONS, TreatedBays, TreatmentBook
from bayround.window.desk import Desk
from bayround.window.parts.caution_box import CautionBox
from bayround.window.parts.screen import Screen
from bayround.window.parts.whole_table import WholeTable
from bayround.window.treatments.treatment_form import TreatmentForm
from bayround.window.treatments.treatment_table import COLUMNS, TreatmentTableModel
from bayround.words import _


class _Table(WholeTable):
    """A table in which Enter goes into the form."""

    def __init__(self, opened: object) -> None:
        super().__init__()
        self._opened = opened

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter; the rest is the table's own."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and callable(self._opened):
            self._opened()
        else:
            super().keyPressEvent(event)


class TreatmentsScreen(Screen):
    """The list at the left, newest first; the form at the right; the cautions under both."""

    name = "treatments"
    title = "Treatments"

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.book: TreatmentBook | None = None
        self._fresh = True
        self._planned: tuple[str, tuple[str, ...]] = ("", ())
        self.model = TreatmentTableModel()
        self.table = self._build_table()
        self.filter = QLineEdit()
        self.filter.setPlaceholderText(_("Filter treatments  (Ctrl+F)"))
        self.filter.setAccessibleName(_("Filter treatments"))
        self.filter.setClearButtonEnabled(True)
        self.new = QPushButton(_("&New  (Ctrl+N)"))
        self.new.setAccessibleName(_("Write a new treatment down"))
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.form = TreatmentForm(desk)
        self._lay_out()
        self._join()

    def show_again(self, key: str = "") -> None:
        """Read the treatments again; *key* is the id of one to put the cursor on, or of a bay to list."""
        farm, today = self.desk.farm, self.desk.today()
        self.desk.tasks.ask(lambda: treatments.read(farm, today), lambda book: self._show(book, key))

    def commit_open_edit(self) -> bool:
        """Keep the open form; false when it was refused or is doubtful."""
        return self.form.commit()

    def kept(self) -> dict[str, str]:
        """Return the treatment under the cursor."""
        return {"key": self.current.treatment.id if self.current and not self._fresh else ""}

    def first_focus(self) -> QWidget:
        """Return the list, or the form when there is nothing to list."""
        return self.form.day if self.book is not None and not self.book.treatments else self.table

    def _build_table(self) -> WholeTable:
        table = _Table(self._open_row)
        table.setModel(self.model)
        table.wraps = {place: column.wraps for place, column in enumerate(COLUMNS) if column.wraps}
        table.left_out = [place for place, column in reversed([*enumerate(COLUMNS)]) if column.beside]
        table.setAccessibleName(_("Treatments, newest first"))
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        table.setTabKeyNavigation(False)
        table.verticalHeader().hide()
        table.horizontalHeader().setHighlightSections(False)
        table.horizontalHeader().setStretchLastSection(True)
        return table

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.filter, 1)
        top.addWidget(self.new)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 8, 0)
        column.setSpacing(8)
        column.addLayout(top)
        column.addWidget(self.table, 1)
        column.addWidget(self.said)
        column.addWidget(CautionBox(CAUTIONS))
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(self.form)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(left)
        split.addWidget(area)
        split.setSizes([440, 730])
        split.setChildrenCollapsible(False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(8)
        layout.addWidget(split, 1)

    def _join(self) -> None:
        self.new.clicked.connect(self._new)
        self.filter.textChanged.connect(self._narrow)
        self.table.selectionModel().currentRowChanged.connect(lambda _now, _before: self._moved())
        self.form.saved.connect(self._saved)
        self.form.left.connect(self._shown_again)
        QShortcut(QKeySequence("Ctrl+N"), self).activated.connect(self._new)
        QShortcut(QKeySequence("Ctrl+S"), self).activated.connect(self.form.save)
        QShortcut(QKeySequence.StandardKey.Find, self).activated.connect(self.filter.setFocus)

    def _show(self, book: TreatmentBook, key: str) -> None:
        self.book = book
        kept = key or (self.current.treatment.id if self.current and not self._fresh else "")
        if self.form.is_changed:
            return
        self.table.selectionModel().blockSignals(True)
        self.model.show(book.treatments)
        self.table.fit()
        place = self.model.place_of(kept)
        self._fresh = place < 0
        if self.model.rowCount():
            self.table.setCurrentIndex(self.model.index(max(place, 0), 0))
        self.table.selectionModel().blockSignals(False)
        self._shown_again()

    @property
    def current(self) -> TreatedBays | None:
        """The treatment under the cursor."""
        return self.model.row(self.table.currentIndex().row())

    def _shown_again(self) -> None:
        """Show in the form what the cursor stands on, or a new treatment."""
        if self.book is None:
            return
        self.form.show_treatment(self.book, None if self._fresh else self.current)
        self._say()

    def _new(self) -> None:
        if self.book is not None and self.commit_open_edit():
            self._fresh = True
            self._shown_again()
            self.form.day.setFocus(Qt.FocusReason.OtherFocusReason)
            self.form.day.selectAll()

    def _moved(self) -> None:
        if self.commit_open_edit():
            self._fresh = False
            self._shown_again()

    def _open_row(self) -> None:
        if self.current is not None and self.commit_open_edit():
            self._fresh = False
            self._shown_again()
            self.form.active.setFocus(Qt.FocusReason.OtherFocusReason)

    def _narrow(self, text: str) -> None:
        if self.commit_open_edit():
            self.model.narrow(text)
            self.table.fit()
            if self.model.rowCount():
                self.table.setCurrentIndex(self.model.index(0, 0))

    def _saved(self, treatment_id: str) -> None:
        self._fresh = False
        self.show_again(treatment_id)
        farm, today = self.desk.farm, self.desk.today()
        self.desk.tasks.ask(
            lambda: inside.planned_inside(farm, treatment_id, today),
            lambda lines: self._say_planned(treatment_id, lines),
        )
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _say_planned(self, treatment_id: str, lines: tuple[str, ...]) -> None:
        """Say which jobs that are due are stopped by what was just written down."""
        self._planned = (treatment_id, lines)
        self._say()

    def _say(self) -> None:
        one = self.current
        lines: list[str] = []
        if one is None:
            lines.append(_("No treatment is written down yet. Ctrl+N starts one."))
        else:
            clocks = _("{what}: enter from {enter}; pick from {pick}.")
            what = one.treatment.active_ingredient or one.treatment.product
            lines.append(clocks.format(what=what, enter=one.enter_from, pick=one.pick_from))
        if one is not None and not self._fresh:
            planned = self._planned[1] if self._planned[0] == one.treatment.id else ()
            lines += [f"✕ {text}" for text in planned[:3]]
            lines += (
                [_("✕ and {n} more jobs: see Jobs.").format(n=len(planned) - 3)] if len(planned) > 3 else []
            )
            lines += [f"↻ {text}" for text in one.repeated[:3]]
            lines += [f"✎ {text}" for text in one.history]
        self.said.setText("\n".join(lines))
        self.said.setVisible(bool(lines))
