"""The line above the grid: which bay this is, and the buttons that finish it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround import words
from bayround.facts.rounds import VisitState
from bayround.week import chosen
from bayround.week.visit_sheet import VisitSheet
from bayround.window import theme
from bayround.words import _


class BayBar(QWidget):
    """Name and crop of the bay, whether numbers move on by themselves, and the way to the next bay.

    Signals:
        finish_wanted: the button was pressed. moves_on: whether complete numbers move on by themselves.
        stand_wanted: the number of standing plants of a finished bay is to be put right.
    """

    finish_wanted = Signal()
    stand_wanted = Signal()
    moves_on = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = QLabel()
        self.name.setFont(theme.scaled(self.font(), 1.35, bold=True))
        self.crop, self.about = QLabel(), QLabel()
        self.advance = QPushButton(_("Move on by itself"))
        self.advance.setCheckable(True)
        self.advance.setChecked(True)
        self.advance.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.advance.setToolTip(_("A number that can't go on moves to the next cell without Enter (Ctrl+M)"))
        self.advance.toggled.connect(self.moves_on)
        self.stand = _stand_button()
        self.stand.clicked.connect(self.stand_wanted)
        self.finish = QPushButton(_("Finish bay"))
        self.finish.setProperty("main", True)
        self.finish.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.finish.setToolTip(_("Finish this bay and open the next one (Ctrl+Enter)"))
        self.finish.clicked.connect(self.finish_wanted)
        bold = QFontMetrics(theme.scaled(self.font(), 1.0, bold=True))
        for button in (self.stand, self.advance, self.finish):
            button.setMinimumWidth(bold.horizontalAdvance(button.text()) + 32)
            button.setAccessibleName(button.text().replace("&", ""))
        for label in (self.name, self.crop, self.about):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(label is not self.name)
            label.setObjectName("" if label is self.name else "quiet")
        first = QHBoxLayout()
        first.setSpacing(12)
        first.addWidget(self.name)
        first.addWidget(self.crop, 1)
        text = QVBoxLayout()
        text.setSpacing(0)
        text.addLayout(first)
        text.addWidget(self.about)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 4)
        layout.addLayout(text, 1)
        layout.addWidget(self.stand, 0, Qt.AlignmentFlag.AlignBottom)
        layout.addWidget(self.advance, 0, Qt.AlignmentFlag.AlignBottom)
        layout.addWidget(self.finish, 0, Qt.AlignmentFlag.AlignBottom)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show which bay is open."""
        done = sheet.visit.state is VisitState.DONE
        self.name.setText(f"{sheet.house.name} · {sheet.bay.name}")
        day = sheet.visit.visited_on
        self.crop.setText(", ".join(part for part in (_(sheet.crop_name), sheet.planting.variety) if part))
        parts = [
            _("finished: typing corrects it") if done else "",
            _("day {n}").format(n=sheet.planting.age_days(day)),
            _("last visit {day}").format(day=words.day(sheet.last_visit_on))
            if sheet.last_visit_on
            else _("first visit"),
            *chosen.in_words(sheet.seeds, sheet.aside, (row.plant for row in sheet.rows)),
        ]
        self.about.setText(" · ".join(part for part in parts if part))
        self.finish.setEnabled(not done)
        self.stand.setVisible(done and bool(sheet.stand_confirmed or sheet.found_dead))


def _stand_button() -> QPushButton:
    button = QPushButton(_("S&tanding plants …"))
    button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    button.setToolTip(_("Put right how many plants stood on this day; the earlier number is kept"))
    button.hide()
    return button
