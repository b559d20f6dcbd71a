"""What a person says about a file: its kind, day, scout, house, sheet, and what its columns hold."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QFormLayout, QLineEdit, QVBoxLayout, QWidget

from bayround.actions.imports import preview_words
from bayround.actions.imports.preview import Kind, Need, Options, Preview
from bayround.facts.season import SeasonFacts
from bayround.window.imports.columns_table import ColumnsTable
from bayround.window.parts.day_field import DayField
from bayround.words import _

_WAIT_MS = 400
_OF_KIND: dict[Kind, tuple[str, ...]] = {
    Kind.WALK: ("day", "scout"),
    Kind.READINGS: ("day", "scout", "sheet", "month_first", "finish", "columns"),
    Kind.PICKS: ("explanation", "sheet", "month_first", "doubtful", "columns"),
    Kind.CLIMATE: ("house", "sheet", "month_first", "doubtful", "columns"),
}


class HowRead(QWidget):
    """Fields that fit the kind of file; `said` tells that something changed, a moment after typing."""

    said = Signal()

    def __init__(self, known: SeasonFacts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind, self.scout, self.house, self.sheet = QComboBox(), QComboBox(), QComboBox(), QComboBox()
        self.day, self.explanation, self.columns = DayField(_("Day")), QLineEdit(), ColumnsTable()
        self.month_first = QCheckBox(_("&Month before day (11/25/2026)"))
        self.doubtful = QCheckBox(_("&Doubtful lines as well"))
        self.finish = QCheckBox(_("&Finish visits without doubts"))
        self._columns_chosen = self._kind_chosen = False
        self.kind.setPlaceholderText(_("choose the kind of file"))
        _fill(self.kind, ((preview_words.kind_words(kind), kind.value) for kind in Kind))
        _fill(
            self.scout,
            [(_("as the file says"), ""), *((one.name, one.id) for one in known.people if one.active)],
        )
        _fill(self.house, [(_("as the file says"), ""), *((one.name, one.id) for one in known.houses)])
        self._lay_out()
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(_WAIT_MS)
        self._wait.timeout.connect(self.said.emit)
        self._join()

    def _lay_out(self) -> None:
        self._form = QFormLayout()
        rows = (
            ("kind", _("&Kind"), self.kind), ("day", _("&Day of the walk"), self.day), ("scout", _("&Scout"), self.scout),
            ("house", _("&House"), self.house), ("sheet", _("Sh&eet"), self.sheet),
            ("explanation", _("&Why picked"), self.explanation),
        )  # fmt: skip
        self._rows: dict[str, QWidget] = {}
        for name, label, field in rows:
            self._form.addRow(label, field)
            field.setAccessibleName(label.replace("&", ""))
            self._rows[name] = field
        self.day.setPlaceholderText(_("as the file says"))
        self.explanation.setPlaceholderText(_("only where something stopped it"))
        for name, box in (
            ("month_first", self.month_first),
            ("doubtful", self.doubtful),
            ("finish", self.finish),
        ):
            self._form.addRow(box)
            self._rows[name] = box
        self._rows["columns"] = self.columns
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(self._form)
        layout.addWidget(self.columns, 1)

    def _join(self) -> None:
        self.kind.activated.connect(self._choose_kind)
        for box in (self.scout, self.house, self.sheet):
            box.activated.connect(lambda _place: self.said.emit())
        for tick in (self.month_first, self.doubtful, self.finish):
            tick.clicked.connect(lambda _checked=False: self.said.emit())
        self.day.edited.connect(self._wait.start)
        self.explanation.textEdited.connect(lambda _text: self._wait.start())
        self.columns.chosen.connect(self._choose_columns)

    def _choose_kind(self, _place: int) -> None:
        self._kind_chosen, self._columns_chosen = True, False
        self.said.emit()

    def _choose_columns(self) -> None:
        self._columns_chosen = self._kind_chosen = True
        self.said.emit()

    def show_preview(self, preview: Preview) -> None:
        """Show the fields that fit the file, and what its columns were taken for."""
        asks_kind = Need.KIND in preview.needs
        self.kind.setCurrentIndex(-1 if asks_kind else self.kind.findData(preview.kind.value))
        fitting = {"kind", *(("sheet", "columns") if asks_kind else _OF_KIND[preview.kind])}
        fitting -= set() if len(preview.sheets) > 1 else {"sheet"}
        for name, field in self._rows.items():
            if name == "columns":
                field.setVisible(name in fitting)
            else:
                self._form.setRowVisible(field, name in fitting)
        if not self.sheet.count():
            _fill(self.sheet, ((name, name) for name in preview.sheets))
        self.sheet.setCurrentIndex(max(0, self.sheet.findData(preview.sheet)))
        self.columns.setEnabled(not asks_kind)  # their choices are those of the kind
        if preview.columns:
            self.columns.show_preview(preview)
        if preview.house_id:
            self.house.setCurrentIndex(max(0, self.house.findData(preview.house_id)))
        self.month_first.setChecked(preview.month_first)

    def asked(self, preview: Preview) -> QWidget | None:
        """Return the field that a file's first question is answered in."""
        fields: dict[Need, QWidget] = {
            Need.KIND: self.kind, Need.DAY: self.day, Need.SCOUT: self.scout, Need.HOUSE: self.house,
            Need.COLUMNS: self.columns,
        }  # fmt: skip
        return fields[preview.needs[0]] if preview.needs else None

    def options(self) -> Options:
        """Return what is said now."""
        return Options(
            kind=Kind(self.kind.currentData()) if self._kind_chosen else None,
            day=self.day.day(),
            scout_id=str(self.scout.currentData()) or None,
            house_id=str(self.house.currentData()) or None,
            sheet=str(self.sheet.currentData() or ""),
            columns=self.columns.columns() if self._columns_chosen else None,
            month_first=True if self.month_first.isChecked() else None,
            explanation=self.explanation.text(),
            doubtful=self.doubtful.isChecked(),
            finish=self.finish.isChecked(),
        )


def _fill(box: QComboBox, entries: Iterable[tuple[str, str]]) -> None:
    for text, key in entries:
        box.addItem(text, key)
