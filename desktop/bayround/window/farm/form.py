"""A form of the Farm screen: fields in a grid, what is wrong in words, saved whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bayround.facts.problems import Problem
from bayround.window import theme
from bayround.window.desk import Desk
from bayround.window.parts.amount_field import AmountField, mark_wrong
from bayround.window.parts.day_field import DayField
from bayround.window.parts.notice import ASK, STOP, Notice
from bayround.window.parts.time_field import TimeField
from bayround.words import _

Field = QLineEdit | QComboBox


class Form(QWidget):
    """Base of the forms: knows whether something was typed, saves with Ctrl+S, Escape throws it away.

    Attributes:
        saved: the id of what was kept.
        left: the typing was thrown away.
    """

    saved = Signal(str)
    left = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.fields: list[Field] = []
        self._loaded: tuple[str, ...] = ()
        self._answered: set[str] = set()
        self._saving = False
        self.title = QLabel()
        self.title.setFont(theme.scaled(self.font(), 1.3, bold=True))
        self.notice = Notice()
        self.keep_button = QPushButton(_("&Save  (Ctrl+S)"))
        self.keep_button.setProperty("main", True)
        self.keep_button.clicked.connect(self.save)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(24, 16, 24, 16)
        self.column.setSpacing(12)
        self.column.addWidget(self.title)

    @property
    def is_changed(self) -> bool:
        """Whether something was typed that is not kept yet."""
        return bool(self._loaded) and self._loaded != self._typed()

    def save(self) -> None:
        """Keep what was typed; what can't be right is refused in words, doubts are asked about first."""
        if self._saving:
            return
        problems = self.problems()
        if problems:
            self.notice.say(STOP, "\n".join(problems))
            self._go_to_first_problem()
            return
        asked = [question for question in self.doubts() if question not in self._answered]
        if asked:
            self._ask(asked)
            return
        self._saving = True
        work, kept_id = self.change()
        self.desk.tasks.change(work, lambda _nothing: self._kept(kept_id), self._refused)

    def commit(self) -> bool:
        """Save what was typed and wait for it; false when it was refused or is doubtful."""
        if not self.is_changed:
            return True
        self.save()
        self.desk.tasks.drain()
        return not self.is_changed

    def problems(self) -> list[str]:
        """Return what is wrong with the fields, in words."""
        return [text for field in self.fields if (text := problem_of(field))]

    def doubts(self) -> tuple[str, ...]:
        """Return what looks wrong, as questions."""
        return ()

    def change(self) -> tuple[Callable[[], None], str]:
        """Return the write to do and the id of what it keeps."""
        raise NotImplementedError

    def loaded(self) -> None:
        """Take the fields as they are now for what the file holds."""
        self._saving = False
        self._loaded = self._typed()
        self.notice.clear()

    def revert(self) -> None:
        """Throw the typing away."""
        self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes to the next field, Escape throws the typing away."""
        if event.key() == Qt.Key.Key_Escape and self.is_changed:
            self.revert()
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.focusWidget() in self.fields:
            self.focusNextChild()
        else:
            super().keyPressEvent(event)

    def add_buttons(self, *others: QWidget) -> None:
        """Add the save button and others in a row."""
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.keep_button, 0, Qt.AlignmentFlag.AlignTop)
        for part in others:
            row.addWidget(part, 0 if isinstance(part, QPushButton) else 1)
        if all(isinstance(part, QPushButton) for part in others):
            row.addStretch(1)
        self.column.addWidget(self.notice)
        self.column.addLayout(row)

    def grid(self, rows: Sequence[tuple[str, Field, str]], heading: str = "") -> QGridLayout:
        """Return a grid of label, field and unit, and take the fields into the form."""
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(8)
        if heading:
            title = QLabel(heading)
            title.setObjectName("heading")
            grid.addWidget(title, 0, 0, 1, 3)
        for number, (text, field, unit) in enumerate(rows, start=1):
            label = QLabel(text)
            label.setBuddy(field)
            field.setMinimumWidth(160)
            field.setMaximumWidth(320)
            field.setAccessibleName(text.replace("&", ""))
            grid.addWidget(label, number, 0)
            grid.addWidget(field, number, 1)
            grid.addWidget(QLabel(unit), number, 2)
            self.fields.append(field)
        grid.setColumnStretch(1, 4)
        grid.setColumnStretch(2, 1)
        return grid

    def _ask(self, questions: list[str]) -> None:
        self.notice.say(
            ASK,
            "\n".join(questions),
            ((_("&Yes, it is right"), lambda: self._let_stand(questions)), (_("Fi&x it"), self._change_it)),
        )

    def _let_stand(self, questions: list[str]) -> None:
        self._answered.update(questions)
        self.notice.clear()
        self.save()

    def _change_it(self) -> None:
        self.notice.clear()
        self.doubtful_field().setFocus(Qt.FocusReason.OtherFocusReason)

    def doubtful_field(self) -> QWidget:
        """Return the field to go to when a doubtful value is to be changed."""
        return self.fields[0]

    def _kept(self, kept_id: str) -> None:
        self.notice.clear()
        self._loaded = self._typed()
        self.desk.tell(_("Kept."))
        self.saved.emit(kept_id)

    def _refused(self, error: BaseException) -> None:
        self._saving = False
        if not isinstance(error, Problem):
            raise error
        self.notice.refuse(error)

    def _go_to_first_problem(self) -> None:
        for field in self.fields:
            if problem_of(field):
                if isinstance(field, QLineEdit):
                    mark_wrong(field, True)
                field.setFocus(Qt.FocusReason.OtherFocusReason)
                return

    def _typed(self) -> tuple[str, ...]:
        return tuple(text_of(field) for field in self.fields)


def text_of(field: Field) -> str:
    """Return what a field shows."""
    return field.currentText() if isinstance(field, QComboBox) else field.text()


def problem_of(field: Field) -> str:
    """Return what is wrong with a field, in words."""
    return field.problem() if isinstance(field, AmountField | DayField | TimeField) else ""


def choose(field: QComboBox, data: object) -> None:
    """Choose the entry that stands for a value."""
    field.setCurrentIndex(max(field.findData(data), 0))
