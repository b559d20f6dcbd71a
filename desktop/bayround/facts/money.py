"""Costs and prices in hundredths of the farm's own currency, so that cents stay exact."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class CostKind(StrEnum):
    """What money was spent on."""

    MATERIALS = "materials"
    LABOUR = "labour"
    TREATMENTS = "treatments"
    COVER = "cover"
    STRUCTURE = "structure"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Cost:
    """Money spent: on a bay, a house, or (neither given) the whole farm; *life_years* spreads it."""

    id: str
    spent_on: date
    kind: CostKind
    what: str
    amount_hundredths: int
    bay_id: str | None = None
    house_id: str | None = None
    life_years: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Price:
    """What a kilogram fetched from a day on, by crop, grade and colour."""

    id: str
    valid_from: date
    crop: str
    per_kg_hundredths: int
    grade: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class WageRate:
    """What an hour of work costs from a day on."""

    id: str
    valid_from: date
    per_hour_hundredths: int
