"""The chosen bay in a few lines under the map: its crop, what is due in it, what to be careful of."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bayround.week.moved import Moved
from bayround.week.snapshot import BayWeek
from bayround.window.week import interval_marks
from bayround.words import _

_JOBS_SHOWN = 4


class BayCard(QFrame):
    """Says what stands behind the bay under the cursor; *open_bay* opens its season."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self.title = _label("heading")
        self.crop = _label("quiet")
        self.lines = _label("")
        self.open_bay = QPushButton(_("Season (Enter)"))
        self.open_bay.setAccessibleName(_("Open the season of this bay"))
        top = QHBoxLayout()
        top.addWidget(self.title, 1)
        top.addWidget(self.open_bay)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 8)
        layout.setSpacing(4)
        layout.addLayout(top)
        layout.addWidget(self.crop)
        layout.addWidget(self.lines)

    def show_bay(self, seen: BayWeek | None) -> None:
        """Show a bay, or nothing."""
        self.setVisible(seen is not None)
        if seen is None:
            return
        self.title.setText(f"{seen.house.name} · {seen.bay.name}")
        planting = seen.planting
        age = seen.figures["age_weeks"].text_with_unit
        self.crop.setText(
            f"{seen.crop_name} {planting.variety}, {age}" if planting else _("No crop stands in it")
        )
        lines = [_job_line(job.priority, job.kind_text, job.due_text, job.blocked_text) for job in seen.jobs]
        more = len(lines) - _JOBS_SHOWN
        shown = lines[:_JOBS_SHOWN] + ([_("and {n} more under Jobs").format(n=more)] if more > 0 else [])
        since = [_since_line(moved) for moved in seen.since if moved.is_clear]
        shown = interval_marks.lines(seen) + since + shown + list(seen.warnings)
        self.lines.setText("\n".join(shown) or _("Nothing is due."))


def _job_line(priority: int, kind: str, due: str, blocked: str) -> str:
    sign = "▲" if priority == 1 else "○"
    stop = _("  ✕ stopped: {why}").format(why=blocked) if blocked else ""
    return _("{sign} {kind}, due {day}").format(sign=sign, kind=kind, day=due) + stop


def _since_line(moved: Moved) -> str:
    sign = "⬆" if moved.rose else "⬇"
    return _("{sign} {label} {moved} since last week").format(
        sign=sign, label=moved.now.label, moved=moved.text
    )


def _label(name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
