"""One number in full: what it means, where it comes from, its history; put in the farm's own value or take it back."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround import words
from bayround.actions import profiles
from bayround.actions.profiles import Change, NumberLine
from bayround.window import theme
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField, mark_wrong
from bayround.window.parts.notice import STOP, Notice
from bayround.window.profiles.numbers_table import BASIS_WORDS, shown
from bayround.words import _


class NumberForm(QFrame):
    """Shows one `NumberLine`; Enter keeps what was typed, Escape throws it away.

    Attributes:
        kept: the name of a number that was changed.
        left: the person is done here.
    """

    kept = Signal(str)
    left = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self.desk = desk
        self.line: NumberLine | None = None
        self._crop = ""
        self.title, self.now, self.source, self.note = (_label() for _part in range(4))
        self.title.setFont(theme.scaled(self.font(), 1.15, bold=True))
        self.history = _label("quiet")
        self.value = AmountField(_("New value"), decimals=4, low=-1_000_000)
        self.reason = QLineEdit()
        self.reason.setAccessibleName(_("Why, and where it comes from"))
        self.reason.setMaxLength(200)
        self.keep = QPushButton(_("&Keep as this farm's own"))
        self.keep.setProperty("main", True)
        self.back = QPushButton(_("Back to the c&rop file's value"))
        self.notice = Notice()
        self._lay_out()
        self.keep.clicked.connect(self._keep)
        self.back.clicked.connect(self._put_back)
        self.show_number("", None)

    @property
    def is_changed(self) -> bool:
        """Whether something was typed that is not kept yet."""
        return bool(self.value.text().strip() or self.reason.text().strip())

    def show_number(self, crop: str, line: NumberLine | None) -> None:
        """Show a number of a crop, or that none is chosen."""
        self._crop, self.line = crop, line
        self._clear()
        for part in (self.value, self.reason, self.keep):
            part.setEnabled(line is not None)
        self.back.setVisible(line is not None and line.is_own)
        self.title.setText(line.label if line else _("No number is chosen."))
        for label in (self.now, self.source, self.note, self.history):
            label.setVisible(line is not None)
        if line is None:
            return
        self.now.setText(f"{shown(line.value)} {line.unit}  ·  {_(BASIS_WORDS[line.basis])}")
        self.source.setText(_("Source: {source}").format(source=line.source))
        self.note.setText(line.note)
        self.note.setVisible(bool(line.note))
        self.history.setText("\n".join(_told(change) for change in reversed(line.changes)))
        self.history.setVisible(bool(line.changes))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in a field goes on or keeps, Escape throws the typing away."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.focusWidget() is self.value:
            self.reason.setFocus(Qt.FocusReason.TabFocusReason)
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.focusWidget() is self.reason:
            self._keep()
        elif event.key() == Qt.Key.Key_Escape:
            self._clear()
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        fields = QGridLayout()
        fields.setHorizontalSpacing(8)
        fields.setVerticalSpacing(8)
        for row, (text, field) in enumerate(((_("New &value"), self.value), (_("&Why"), self.reason))):
            label = QLabel(text)
            label.setBuddy(field)
            fields.addWidget(label, row, 0)
            fields.addWidget(field, row, 1)
        fields.setColumnStretch(1, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        buttons.addWidget(self.keep)
        buttons.addWidget(self.back)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(8)
        for part in (self.title, self.now, self.source, self.note):
            layout.addWidget(part)
        layout.addSpacing(8)
        layout.addLayout(fields)
        layout.addWidget(self.notice)
        layout.addLayout(buttons)
        layout.addSpacing(8)
        layout.addWidget(self.history)
        layout.addStretch(1)

    def _keep(self) -> None:
        value = self.value.amount()
        if self.line is None:
            return
        if value is None:
            mark_wrong(self.value, True)
            self.notice.say(STOP, self.value.problem() or _("Type the farm's own value first."))
            self.value.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        desk, crop, name, reason = self.desk, self._crop, self.line.name, self.reason.text()
        now = desk.now()
        self.desk.tasks.change(
            lambda: profiles.override(desk.farm, crop, name, value, desk.person_id, now, reason),
            lambda _nothing: self._kept(name),
            self.notice.refuse,
        )

    def _put_back(self) -> None:
        if self.line is None:
            return
        desk, crop, name, now = self.desk, self._crop, self.line.name, self.desk.now()
        self.desk.tasks.change(
            lambda: profiles.back_to_file(desk.farm, crop, name, desk.person_id, now),
            lambda _nothing: self._kept(name),
            self.notice.refuse,
        )

    def _kept(self, name: str) -> None:
        self._clear()
        self.desk.tell(_("Kept. Every figure is reckoned with it from now on."))
        self.kept.emit(name)

    def _clear(self) -> None:
        self.value.setText("")
        self.reason.setText("")
        self.notice.clear()


def _label(name: str = "") -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setObjectName(name)
    return label


def _told(change: Change) -> str:
    by = change.by or _("nobody named")
    return f"{words.moment(change.changed_at.astimezone())} · {shown(change.value)} · {by} · {change.reason}"
