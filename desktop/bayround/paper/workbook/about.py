"""Sheet “About these numbers”: what each figure is, how it came about, and where its rule comes from."""

from __future__ import annotations

from collections.abc import Iterator

from bayround import __version__, words
from bayround.figures.figure import Figure
from bayround.paper.workbook import closing, styles, tables
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents, bay_name
from bayround.paper.workbook.styles import LABEL, PLAIN
from bayround.paper.workbook.table import Head, Row, Table
from bayround.paper.workbook.treatments import CAUTION
from bayround.words import _

TITLE = "About these numbers"


def write(pen: Pen, contents: Contents) -> None:
    """Write the facts about the workbook, then a row a figure."""
    pen.title(contents.title(_(TITLE)))
    row = 3
    for label, text in _facts(contents):
        pen.text(row, 1, label, LABEL)
        for line in _broken(text):
            pen.text(row, 2, line, PLAIN)
            row += 1
    heads = (
        Head(_("Figure"), 30, wrap=True),
        Head(_("Unit"), 18),
        Head(_("Rule"), 52, wrap=True),
        Head(_("For example"), 48, wrap=True),
        Head(_("Source"), 40, wrap=True),
        Head(_("Kind of source"), 17),
    )
    table = Table("figures", heads, list(_rows(contents)), 1, _("There is no figure yet."), head_row=row + 1)
    tables.write(pen, table, contents.farm_and_week, contents.watch)
    pen.sheet.freeze_panes = None


def _facts(contents: Contents) -> Iterator[tuple[str, str]]:
    snapshot = contents.snapshot
    yield _("Farm"), contents.farm
    if snapshot.farm.invented:
        yield _("Invented"), _("The farm, its people and all its numbers are made up, to show the program.")
    yield (
        _("Week"),
        _("{week}: {first} to {last} (ISO 8601)").format(
            week=snapshot.week,
            first=words.weekday_day(snapshot.week.monday),
            last=words.weekday_day(snapshot.week.sunday),
        ),
    )
    yield _("Looked at on"), words.weekday_day(snapshot.as_of)
    yield (
        _("Written by"),
        _("Bayround {version}, revision {revision} of the farm file").format(
            version=__version__, revision=snapshot.revision
        ),
    )
    yield from closing.facts(snapshot, contents.digest)
    for warning in snapshot.warnings:
        yield _("Mind"), warning
    yield from _reading_aids()


def _reading_aids() -> Iterator[tuple[str, str]]:
    """Yield what a reader has to know to read the sheets."""
    yield _("Empty cell"), _("Not known. Why stands under the table; 0 is written as 0.")
    yield _("Low, high, n"), _("The 95 % interval of a figure and the plants, units or cards it rests on.")
    yield (
        _("Changed"),
        _(
            "Called a change only when this week's and last week's interval do not overlap; less may be chance."
        ),
    )
    yield (
        _("Corrections"),
        _(
            "Finished visits are changed only by corrections; the farm file keeps the value before, who, when and why. "
            "This workbook shows the values as corrected up to its revision."
        ),
    )
    yield (
        _("Marks"),
        _("Load against its band: {over} too much, {under} too little, {uneven} uneven.").format(
            over=styles.OVER_MARK, under=styles.UNDER_MARK, uneven=styles.UNEVEN_MARK
        ),
    )
    yield _("Caution"), _(CAUTION)


def _broken(text: str) -> list[str]:
    from textwrap import wrap

    return wrap(text, 170) or [""]


def _rows(contents: Contents) -> Iterator[Row]:
    """Yield one row a rule; figures that share unit, rule and source share a row."""
    gathered: dict[tuple[str, str, str], tuple[dict[str, None], Figure, str]] = {}
    for label, figure, place in _figures(contents):
        key = (figure.unit, figure.why.rule, figure.why.source)
        if key not in gathered:
            gathered[key] = ({label: None}, figure, place)
            continue
        labels, first, first_place = gathered[key]
        labels[label] = None
        if first.value is None and figure.value is not None:
            gathered[key] = (labels, figure, place)
        else:
            gathered[key] = (labels, first, first_place)
    for labels, figure, place in gathered.values():
        why = figure.why
        yield (
            words.listing(list(labels), 8),
            figure.unit or None,
            why.rule or None,
            _example(figure, place),
            why.source or None,
            _(why.basis) if why.basis else None,
        )


def _figures(contents: Contents) -> Iterator[tuple[str, Figure, str]]:
    snapshot = contents.snapshot
    for seen in snapshot.bays:
        for figure in seen.figures.values():
            yield figure.label, figure, bay_name(seen)
    for job in snapshot.jobs:
        yield _("Hours of {job}").format(job=job.kind_text.lower()), job.hours, job.bay_name
    for figure in snapshot.totals.values():
        yield figure.label, figure, _("whole farm")


def _example(figure: Figure, place: str) -> str | None:
    if figure.value is None:
        return None
    inputs = "; ".join(f"{name}: {text}" for name, text in figure.why.inputs)
    shown = f"{place}: {figure.text_with_unit}"
    return f"{shown} ({inputs})" if inputs else shown
