"""Sheets in words: what to replant, what is known and suspected; what trials say; about these numbers."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from bayround import __version__, words
from bayround.figures.figure import Figure
from bayround.figures.season import GroupBy
from bayround.figures.season_report import SeasonReport
from bayround.figures.trial_report import TrialReport
from bayround.paper import farm_name
from bayround.paper.workbook import page
from bayround.paper.workbook.cells import Pen, letter
from bayround.paper.workbook.styles import LABEL, PLAIN
from bayround.paper.workbook.table import Head, Row, Styled, Table
from bayround.words import _

_LETTERS_A_LINE = 128


def replant_table(report: SeasonReport) -> Table:
    """Return the varieties of each crop, the one that earned most first."""
    first = report.findings.replant[0]
    heads = (
        Head(_("Crop"), 16),
        Head(_("Place"), 8, right=True),
        Head(_("Variety"), 28),
        Head(f"{first.margin_m2.label}, {first.margin_m2.unit}", 13, right=True),
        Head(f"{first.kg_m2.label}, {first.kg_m2.unit}", 12, right=True),
        Head(_("low"), 8, right=True),
        Head(_("high"), 8, right=True),
        Head(f"{first.cost_kg.label}, {first.cost_kg.unit}", 11, right=True),
        Head(_("What it rests on"), 40, wrap=True),
    )
    rows: list[Row] = []
    for line in report.findings.replant:
        low, high = line.kg_m2.low, line.kg_m2.high
        rows.append(
            (
                report.crops[line.crop],
                line.place,
                line.label,
                _cell(line.margin_m2),
                _cell(line.kg_m2),
                None if low is None else Styled(round(low, 2), "0.00"),
                None if high is None else Styled(round(high, 2), "0.00"),
                _cell(line.cost_kg),
                line.rests_on,
            )
        )
    return Table("replant", heads, rows, 3, _("Nothing was planted."))


def write_findings(pen: Pen, report: SeasonReport, first_row: int) -> int:
    """Write what is known, suspected and open under the table; return the last row."""
    row = first_row
    for heading, texts in sections(report):
        pen.text(row, 1, heading, LABEL)
        row += 1
        for text in texts or (_("Nothing."),):
            for place, line in enumerate(wrap(text, _LETTERS_A_LINE)):
                pen.text(row, 1, ("– " if place == 0 else "   ") + line, PLAIN)
                row += 1
        row += 1
    return row - 2


def sections(report: SeasonReport) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return (heading, sentences) of the report's findings, as workbook and pages show them."""
    return (
        (_("What we know (counted, or tested in a trial)"), report.findings.known),
        (_("What we only suspect (seen, not tested)"), report.findings.suspected),
        (_("What is open"), report.findings.open),
    )


def effects_table(report: SeasonReport) -> Table:
    """Return a row for each difference of each trial, with its interval and, where tested, its p-value."""
    heads = (
        Head(_("Trial"), 30, wrap=True),
        Head(_("First less second"), 40, wrap=True),
        Head(_("Difference"), 11, right=True),
        Head(_("Low"), 10, right=True),
        Head(_("High"), 10, right=True),
        Head(_("Unit"), 10),
        Head("p", 9, right=True),
        Head(_("Told apart"), 14),
    )
    rows: list[Row] = []
    for trial in report.trials:
        for line in trial.effects:
            figure = line.difference
            ends = [None if end is None else Styled(end, "0.00") for end in (figure.low, figure.high)]
            told = {True: _("yes"), False: _("no"), None: _("not tested")}[line.told_apart]
            chance = None if line.p_value is None else _cell(line.p_value)
            rows.append((trial.trial.name, figure.label, _cell(figure), *ends, figure.unit, chance, told))
    notes = tuple(f"{trial.trial.name}: {note}" for trial in report.trials for note in trial_words(trial))
    return Table("trials", heads, rows, 2, _("No trial of this year has a value yet."), notes)


def trial_words(trial: TrialReport) -> tuple[str, ...]:
    """Return a trial's question and verdict, its means with letters, and what it can't answer, in sentences."""
    means = ", ".join(
        f"{line.treatment} {line.mean.text_with_unit}" + (f" {line.letters}" if line.letters else "")
        for line in trial.means
    )
    said = [" ".join(part for part in (trial.trial.question, trial.verdict) if part)]
    if means:
        said.append(_("Means: {means}.").format(means=means))
    return (*said, *trial.cannot)


def about_table(report: SeasonReport) -> Table:
    """Return every figure of the report with its rule and its source."""
    heads = (
        Head(_("Figure"), 28, wrap=True),
        Head(_("Unit"), 12),
        Head(_("Rule"), 60, wrap=True),
        Head(_("Source"), 48, wrap=True),
        Head(_("Kind of source"), 16),
    )
    figures: list[Figure] = [*report.lines[GroupBy.VARIETY][0].figures.values()]
    figures += report.money[GroupBy.VARIETY][0].figures.values()
    figures += [budget.net_change for budget in report.budgets[:1]]
    for found in list(report.break_evens.values())[:1]:
        figures += [found.price, found.yield_kg_m2]
    rows = [
        (one.label, one.unit, one.why.rule, one.why.source, _(one.why.basis) if one.why.basis else "")
        for one in figures
    ]
    written = _("Written by Bayround {version}, as of {day}, revision {revision} of the farm file.").format(
        version=__version__, day=words.day(report.as_of), revision=report.farm.revision
    )
    ages = ", ".join(f"{report.crops[crop]} {days}" for crop, days in report.ages.items())
    compared = _("Years are compared up to the same days after transplanting: {ages}.").format(ages=ages)
    return Table("figures", heads, rows, 1, "", (*report.notes, compared, written, *_invented(report)))


def footer(report: SeasonReport) -> str:
    """Return what the foot of every sheet says."""
    season = _("season {year}").format(year=report.year)
    return f"{farm_name.shown(report.farm)} · {season}"


def fit_findings(pen: Pen, report: SeasonReport, last_row: int, columns: int) -> None:
    """Set up the page of the first sheet once everything is written."""
    page.set_up(pen.sheet, footer(report), letter(columns), last_row)


def _invented(report: SeasonReport) -> Sequence[str]:
    if not report.farm.invented:
        return ()
    return (_("The farm, its people and all its numbers are made up, to show the program."),)


def _cell(figure: Figure) -> Styled | None:
    return None if figure.cell is None else Styled(figure.cell, figure.number_format)
