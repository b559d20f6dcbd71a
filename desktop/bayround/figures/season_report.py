"""Everything the season report shows, as one frozen value: workbook and pages only lay it out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from bayround.facts.farm import FarmInfo
from bayround.figures.money import BreakEven, BudgetReport, MoneyLineOfGroup
from bayround.figures.season import GroupBy, SeasonLine
from bayround.figures.season_curves import Curve
from bayround.figures.season_findings import Findings
from bayround.figures.trial_report import TrialReport


@dataclass(frozen=True, slots=True)
class WrittenDown:
    """One cost, price or wage as written down; *history* what it was before."""

    day: date
    kind: str
    what: str
    amount: float
    concerns: str
    history: str


@dataclass(frozen=True, slots=True)
class SeasonReport:
    """A year's season. *lines* and *money* by grouping, *curves* by measure and grouping.

    *years* are compared up to *ages* (crop → days); *break_evens* (group, crop) → result; *notes* is what holds
    for every figure.
    """

    farm: FarmInfo
    year: int
    as_of: date
    crops: Mapping[str, str]
    findings: Findings
    lines: Mapping[GroupBy, tuple[SeasonLine, ...]]
    money: Mapping[GroupBy, tuple[MoneyLineOfGroup, ...]]
    years: tuple[SeasonLine, ...]
    ages: Mapping[str, int]
    curves: Mapping[tuple[str, GroupBy], tuple[Curve, ...]]
    break_evens: Mapping[tuple[str, str], BreakEven]
    budgets: tuple[BudgetReport, ...]
    trials: tuple[TrialReport, ...]
    written_down: tuple[WrittenDown, ...]
    notes: tuple[str, ...]

    @property
    def currency(self) -> str:
        """The farm's own currency."""
        return self.farm.currency
