"""Figure: the only rounding in the program, and the answer to “how do you know?”."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from bayround import words
from bayround.words import _

COUNTED: Mapping[str, tuple[str, str]] = {
    "plants": ("{n} plant", "{n} plants"),
    "units": ("{n} unit", "{n} units"),
    "cards": ("{n} card", "{n} cards"),
    "picks": ("{n} pick", "{n} picks"),
    "visits": ("{n} visit", "{n} visits"),
    "checks": ("{n} check", "{n} checks"),
    "days": ("{n} day", "{n} days"),
    "bays": ("{n} bay", "{n} bays"),
    "plantings": ("{n} planting", "{n} plantings"),
    "notes": ("{n} note", "{n} notes"),
    "jobs": ("{n} job", "{n} jobs"),
    "cells": ("{n} cell", "{n} cells"),
    "forecasts": ("{n} forecast", "{n} forecasts"),
}
"""What a figure may rest on, one and many."""


@dataclass(frozen=True, slots=True)
class Why:
    """How a figure came about: the rule in words, its inputs, its source and the kind of source."""

    rule: str
    inputs: tuple[tuple[str, str], ...] = ()
    source: str = ""
    basis: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that knows its unit, its uncertainty and its origin.

    Attributes:
        id: stable name, the same in the column list, the workbook and the golden file.
        label: what a person calls it.
        value: exact value, or none with *missing* saying why.
        low, high: limits of the interval at *level* (0.95 = 95 %), where there is one.
        n: how many it rests on, *n_of* of what: a key of `COUNTED` (plants, units, cards, days …).
        decimals: places shown, everywhere.
        says: a word that goes with the number (which organism, above or below the band).
        visited_on: day of the visit it comes from, where that is not of the week that is shown.
    """

    id: str
    label: str
    value: float | None
    unit: str
    decimals: int
    why: Why
    low: float | None = None
    high: float | None = None
    level: float = 0.95
    n: int | None = None
    missing: str = ""
    says: str = ""
    n_of: str = ""
    visited_on: date | None = None

    @property
    def shown(self) -> Decimal | None:
        """The value as every face shows it: rounded half up to *decimals*."""
        return None if self.value is None else words.round_half_up(self.value, self.decimals)

    @property
    def cell(self) -> float | int | None:
        """The shown value as a number for a workbook cell."""
        shown = self.shown
        if shown is None:
            return None
        return int(shown) if self.decimals == 0 else float(shown)

    @property
    def text(self) -> str:
        """The shown value as text, without unit."""
        shown = self.shown
        return words.MISSING if shown is None else words.number(shown, self.decimals)

    @property
    def text_with_unit(self) -> str:
        """The shown value with its unit."""
        return self.text if self.value is None or not self.unit else f"{self.text} {self.unit}"

    @property
    def dated_text(self) -> str:
        """The shown value with its unit, and with the day of its visit where that is an older one."""
        text = self.text_with_unit
        return text if self.visited_on is None else f"{text} ({words.day(self.visited_on)})"

    @property
    def interval_text(self) -> str:
        """The interval, ``4.1 to 6.3``; empty where there is none."""
        if self.low is None or self.high is None:
            return ""
        low = words.number(self.low, self.decimals)
        return _("{low} to {high}").format(low=low, high=words.number(self.high, self.decimals))

    @property
    def number_format(self) -> str:
        """Number format of a workbook cell, locale-proof (``0``, ``0.0``, ``0.00``)."""
        return "0" if self.decimals == 0 else "0." + "0" * self.decimals

    def without(self, reason: str) -> Figure:
        """Return the same figure with no value and the reason why."""
        return replace(
            self, value=None, low=None, high=None, n=None, missing=reason, says="", visited_on=None
        )

    def explained(self) -> tuple[tuple[str, str], ...]:
        """Return (heading, text) lines that answer “how do you know?”."""
        lines = [(self.label, self.text_with_unit if self.value is not None else self.missing)]
        if self.interval_text:
            percent = words.number(self.level * 100, 0)
            lines.append(
                (
                    _("{percent} % interval").format(percent=percent),
                    f"{self.interval_text} {self.unit}".strip(),
                )
            )
        if self.visited_on is not None:
            lines.append((_("From the visit of"), words.day(self.visited_on)))
        lines.extend(self.why.inputs)
        if self.n is not None:
            counted = words.counted(*COUNTED[self.n_of], self.n) if self.n_of else str(self.n)
            lines.append((_("Rests on"), counted))
        lines.append((_("Rule"), self.why.rule))
        if self.why.source:
            lines.append((_("Source"), _source_text(self.why)))
        return tuple(lines)


def _source_text(why: Why) -> str:
    """Return the source, with its kind where the source itself does not say it."""
    said = not why.basis or why.basis in why.source
    return why.source if said else f"{why.source} ({_(why.basis)})"


Figures = Mapping[str, Figure]


def first_id_clash(families: list[dict[str, Figure]]) -> str:
    """Return the first figure id that two families both use, or nothing."""
    seen: set[str] = set()
    for family in families:
        clash = seen & family.keys()
        if clash:
            return min(clash)
        seen |= family.keys()
    return ""
