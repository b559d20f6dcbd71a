"""Trials: which plots got what, laid out how."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class TrialDesign(StrEnum):
    """How the plots were laid out; it decides what may be tested."""

    COMPLETELY_RANDOMISED = "completely randomised"
    BLOCKS = "randomised blocks"
    SPLIT_PLOT = "split plot"
    NO_REPLICATION = "no replication"


@dataclass(frozen=True, slots=True)
class Trial:
    """One question asked of the farm's own plots.

    *main_factor* is what is compared (in a split plot: between whole plots), *sub_factor* what is
    compared within them; *measure* names what is analysed (kg_m2, fruit_m2, height_cm, typed …).
    """

    id: str
    name: str
    question: str
    design: TrialDesign
    main_factor: str
    measure: str
    started_on: date
    sub_factor: str = ""
    measure_unit: str = ""
    ended_on: date | None = None
    seed: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class TrialPlot:
    """One plot: rows of a bay (or the whole bay), its block, what it got, and a typed value if any."""

    id: str
    trial_id: str
    name: str
    main_level: str
    sub_level: str = ""
    block: str = ""
    bay_id: str | None = None
    first_row: int | None = None
    last_row: int | None = None
    value: float | None = None
    note: str = ""
