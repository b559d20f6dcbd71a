"""Sheets “Pests and disease” (every check), “Pests by bay” and “Sticky cards”."""

from __future__ import annotations

from bayround.facts.bay_past import VisitRecord
from bayround.figures.figure import Figure
from bayround.paper.workbook import family, marks, tables
from bayround.paper.workbook.cells import Pen, letter, limits
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.table import FIRST_ROW, Head, Row, Styled, Table
from bayround.week.columns import PESTS
from bayround.week.snapshot import BayWeek
from bayround.words import _

TITLE = "Pests and disease"
BY_BAY_TITLE = "Pests by bay"
CARDS_TITLE = "Sticky cards"
NOT_LOOKED_FOR = "No pest or disease was looked for this week."
INSPECTED_COLUMN, INFESTED_COLUMN = 7, 8


def write_checks(pen: Pen, contents: Contents) -> None:
    """Write a row for every check of this week's visits."""
    pen.title(
        contents.title(_(TITLE)),
        _("Incidence: all checks of the organism at the visit together, with its 95 % interval."),
    )
    table = checks_of(contents)
    tables.write(pen, table, contents.farm_and_week, contents.watch)
    if table.rows:
        column = letter(INFESTED_COLUMN)
        marks.found(pen.sheet, f"{column}{FIRST_ROW}:{column}{table.last_row}")


def checks_of(contents: Contents) -> Table:
    """Return the table of this week's checks."""
    rows = [row for seen in contents.visited if seen.visit for row in _checks(contents, seen, seen.visit)]
    heads = (
        *_place_heads(),
        Head(_("Organism"), 26, wrap=True),
        Head(_("Part inspected"), 14),
        Head(_("Inspected (units)"), 11, right=True),
        Head(_("Infested (units)"), 11, right=True),
        Head(_("Incidence (%)"), 11, right=True),
        Head(_("Incidence, low (%)"), 11, right=True),
        Head(_("Incidence, high (%)"), 11, right=True),
        Head(_("Counted (individuals)"), 12, right=True),
        Head(_("Severity (% of leaf area)"), 12, right=True),
        Head(_("Where"), 34, wrap=True),
    )
    return Table("pest_checks", heads, rows, 4, _(NOT_LOOKED_FOR), fold=True)


def write_by_bay(pen: Pen, contents: Contents) -> None:
    """Write the bays' pest figures."""
    pen.title(contents.title(_(BY_BAY_TITLE)), _("The organism with the highest incidence in each bay."))
    tables.write(pen, by_bay_of(contents), contents.farm_and_week, contents.watch)


def by_bay_of(contents: Contents) -> Table:
    """Return the table of the bays' pest figures."""
    return family.table(contents, "pests_by_bay", PESTS, _(NOT_LOOKED_FOR))


def write_cards(pen: Pen, contents: Contents) -> None:
    """Write a row for every sticky card read this week."""
    pen.title(
        contents.title(_(CARDS_TITLE)),
        _("Catch per card and day: all cards of the bay together, with its 95 % interval."),
    )
    tables.write(pen, cards_of(contents), contents.farm_and_week, contents.watch)


def cards_of(contents: Contents) -> Table:
    """Return the table of this week's sticky cards."""
    rows = [row for seen in contents.visited if seen.visit for row in _cards(contents, seen, seen.visit)]
    heads = (
        *_place_heads(),
        Head(_("Card"), 16, wrap=True),
        Head(_("Colour"), 12),
        Head(_("Organism"), 26, wrap=True),
        Head(_("Caught (insects)"), 11, right=True),
        Head(_("Hung (days)"), 9, right=True),
        Head(_("Card area (cm²)"), 10, right=True),
        Head(_("Catch (per card and day)"), 14, right=True, at_least=12),
        Head(_("Catch, low (per card and day)"), 14, right=True, at_least=12),
        Head(_("Catch, high (per card and day)"), 14, right=True, at_least=12),
    )
    return Table("sticky_cards", heads, rows, 4, _("No sticky cards were read this week."), fold=True)


def _place_heads() -> tuple[Head, ...]:
    return (
        Head(_("House"), 20, wrap=True),
        Head(_("Bay"), 14, wrap=True),
        Head(_("Crop"), 16),
        Head(_("Date"), 12),
    )


def _place(seen: BayWeek, visit: VisitRecord) -> Row:
    return seen.house.name, seen.bay.name, seen.crop_name or None, visit.day


def _checks(contents: Contents, seen: BayWeek, visit: VisitRecord) -> list[Row]:
    return [
        (
            *_place(seen, visit),
            contents.organism(check.organism),
            _(check.inspected_part),
            check.inspected,
            check.infested,
            *_with_limits(seen.figures.get(f"incidence_{check.organism}")),
            check.counted,
            check.severity_percent,
            check.where or None,
        )
        for check in sorted(visit.checks, key=lambda check: contents.organism(check.organism))
    ]


def _cards(contents: Contents, seen: BayWeek, visit: VisitRecord) -> list[Row]:
    return [
        (
            *_place(seen, visit),
            card.card,
            _(card.colour) if card.colour else None,
            contents.organism(card.organism),
            card.count,
            card.days_hung,
            card.area_cm2,
            *_with_limits(seen.figures.get(f"cards_{card.organism}")),
        )
        for card in visit.cards
    ]


def _with_limits(figure: Figure | None) -> tuple[Styled, Styled, Styled]:
    if figure is None:
        return Styled(None, "General"), Styled(None, "General"), Styled(None, "General")
    low, high = limits(figure)
    shown = figure.number_format
    return Styled(figure.cell, shown), Styled(low, shown), Styled(high, shown)
