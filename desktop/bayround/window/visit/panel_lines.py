"""The side panel as lines of text: figures with their interval, what checks say, what will fall due."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from bayround.figures.figure import Figure
from bayround.week.visit_sheet import Panel
from bayround.words import _

FIGURES, CHECKS, JOBS = "So far", "What the checks say", "Will fall due"


class LineKind(Enum):
    """What a line is about."""

    HEADING = auto()
    FIGURE = auto()
    DECISION = auto()
    JOB = auto()
    QUIET = auto()


@dataclass(frozen=True, slots=True)
class PanelLine:
    """One entry: a title, what matters in bold, the rest in plain; *figure* answers “how do you know?”."""

    kind: LineKind
    title: str
    strong: str = ""
    plain: str = ""
    figure: Figure | None = None
    urgent: bool = False

    @property
    def spoken(self) -> str:
        """The line in words."""
        return ": ".join(
            part for part in (self.title, " ".join(filter(None, (self.strong, self.plain)))) if part
        )


def lines_of(panel: Panel) -> tuple[PanelLine, ...]:
    """Return a panel line by line, with a heading over each part."""
    lines = [PanelLine(LineKind.HEADING, _(FIGURES)), *(_figure(figure) for figure in panel.figures)]
    lines.append(PanelLine(LineKind.HEADING, _(CHECKS)))
    lines += [PanelLine(LineKind.DECISION, name, plain=text) for name, text in panel.decisions]
    if not panel.decisions:
        lines.append(PanelLine(LineKind.QUIET, "", plain=_("No pest or disease keyed in yet.")))
    lines.append(PanelLine(LineKind.HEADING, _(JOBS)))
    for job in panel.jobs:
        due = _("{job}, by {day}").format(job=job.kind_text, day=job.due_text)
        figure = job.numbers[0] if job.numbers else job.hours
        lines.append(PanelLine(LineKind.JOB, job.priority_text, due, job.reason, figure, job.priority == 1))
    if not panel.jobs:
        lines.append(PanelLine(LineKind.QUIET, "", plain=_("Nothing so far.")))
    return tuple(lines)


def _figure(figure: Figure) -> PanelLine:
    if figure.value is None:
        return PanelLine(LineKind.FIGURE, figure.label, plain=figure.missing, figure=figure)
    plain = [
        figure.interval_text,
        figure.says,
        _("n = {n}").format(n=figure.n) if figure.n is not None else "",
    ]
    return PanelLine(
        LineKind.FIGURE, figure.label, figure.text_with_unit, " · ".join(filter(None, plain)), figure
    )
