"""One job in full: why it is due, the numbers it rests on, what stops it, what became of it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from bayround import words
from bayround.actions.jobs import Job
from bayround.figures.figure import Figure
from bayround.window import theme
from bayround.window.parts.figure_chips import FigureButton
from bayround.words import _


def caution() -> str:
    """Return the caution shown with every job that an interval stops."""
    return _(
        "Do not send anyone in to work or pick before the interval on the product's label has passed. "
        "The label and the local rules decide; ask the licensed or competent person when in doubt."
    )


class JobDetail(QScrollArea):
    """Shows a `Job`; each number in it can be asked how it is known."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(_("The job in full"))
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.show_job(None)

    def show_job(self, job: Job | None) -> None:
        """Show a job, or that none is chosen."""
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(8)
        if job is None:
            layout.addWidget(_label(_("No job is chosen."), "quiet"))
        else:
            _fill(layout, job, self)
        layout.addStretch(1)
        self.setWidget(page)


def _fill(layout: QVBoxLayout, job: Job, parent: QWidget) -> None:
    heading = _label(f"{job.kind_text} · {job.bay_name}")
    heading.setFont(theme.scaled(parent.font(), 1.25, bold=True))
    layout.addWidget(heading)
    layout.addWidget(
        _label(_("Due {day} · {priority}").format(day=job.due_text, priority=job.priority_text), "quiet")
    )
    layout.addWidget(_label(job.reason))
    if job.blocked_by:
        layout.addWidget(_caution_box(job))
    layout.addSpacing(8)
    layout.addWidget(_label(_("Numbers used"), "heading"))
    for figure in (*job.numbers, job.hours):
        layout.addWidget(_number(figure, parent))
    if job.plants:
        layout.addWidget(_label(_("Plants"), "heading"))
        layout.addWidget(_label(words.listing(job.plants, 24)))
    is_over = job.state.value in {"done", "skipped"}
    layout.addWidget(_label(_("What became of it") if is_over else _("Where it stands"), "heading"))
    given = f" · {job.assigned_to}" if job.assigned_to else ""
    layout.addWidget(_label(job.state_text.capitalize() + given))
    for step in job.history:
        layout.addWidget(_label(step, "quiet"))


def _caution_box(job: Job) -> QFrame:
    box = QFrame()
    box.setObjectName("caution")
    inside = QVBoxLayout(box)
    inside.addWidget(_label(_("✕ Stopped: {why}").format(why=job.blocked_text), "heading"))
    inside.addWidget(_label(caution()))
    return box


def _number(figure: Figure, parent: QWidget) -> FigureButton:
    value = figure.text_with_unit if figure.value is not None else figure.missing
    interval = f" ({figure.interval_text})" if figure.interval_text else ""
    chip = FigureButton(figure, f"{figure.label}\n{value}{interval}", parent)
    chip.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    chip.setToolTip(f"{figure.label}: {value}{interval}")
    chip.setAccessibleName(_("{label}: {value}. How do you know?").format(label=figure.label, value=value))
    return chip


def _label(text: str, name: str = "") -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setObjectName(name)
    return label
