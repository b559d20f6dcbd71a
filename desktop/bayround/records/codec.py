"""Facts to rows and back. A fact's fields are its table's columns, name by name."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import Any, Generic, TypeVar, cast

from sqlalchemy import Connection, Result, Select, Table, literal_column, select

from bayround.facts import farm, kept, money, rounds, trials, work
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.records import tables
from bayround.words import _

Fact = TypeVar("Fact")
Value = str | int | float | bool | date | datetime | StrEnum | None

_WHOLE_NUMBER_LIMIT = 2**63
_ROWS_AT_ONCE = 1000


@dataclass(frozen=True, slots=True)
class Kind(Generic[Fact]):
    """One kind of fact: its class, its table and the field (none has two) that holds a word of a fixed list.

    *names* are the fields of the fact, in order.
    """

    fact: type[Fact]
    table: Table
    word: str | None = None
    words: type[StrEnum] = StrEnum
    names: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        names = tuple(each.name for each in fields(cast(Any, self.fact)))
        object.__setattr__(self, "names", names)


# Facts that others refer to come first: the order in which a mixture of facts is written.
KINDS: tuple[Kind[Any], ...] = (
    Kind(farm.FarmInfo, tables.farm),
    Kind(farm.Person, tables.person, "role", farm.Role),
    Kind(farm.House, tables.house, "kind", farm.HouseKind),
    Kind(farm.Bay, tables.bay),
    Kind(farm.Planting, tables.planting, "colour_aim", farm.ColourAim),
    Kind(farm.MarkedPlant, tables.marked_plant),
    Kind(farm.PlantChoice, tables.plant_choice),
    Kind(rounds.Round, tables.round_),
    Kind(rounds.Visit, tables.visit, "state", rounds.VisitState),
    Kind(rounds.Reading, tables.reading, "state", rounds.PlantState),
    Kind(rounds.PestCheck, tables.pest_check),
    Kind(rounds.CardCount, tables.card_count),
    Kind(rounds.WeedNote, tables.weed_note),
    Kind(rounds.DoubtAnswer, tables.doubt_answer),
    Kind(work.JobRecord, tables.job, "kind", work.JobKind),
    Kind(work.JobEvent, tables.job_event, "step", work.JobStep),
    Kind(work.Treatment, tables.treatment),
    Kind(work.TreatmentBay, tables.treatment_bay),
    Kind(work.Pick, tables.pick),
    Kind(work.Explanation, tables.explanation),
    Kind(work.ClimateDay, tables.climate_day),
    Kind(work.Correction, tables.correction),
    Kind(work.ProfileOverride, tables.profile_override),
    Kind(work.WeekClose, tables.week_close),
    Kind(kept.Forecast, tables.forecast),
    Kind(kept.StandCount, tables.stand_count),
    Kind(kept.HouseCheck, tables.house_check, "condition", kept.Condition),
    Kind(trials.Trial, tables.trial, "design", trials.TrialDesign),
    Kind(trials.TrialPlot, tables.trial_plot),
    Kind(money.Cost, tables.cost, "kind", money.CostKind),
    Kind(money.Price, tables.price),
    Kind(money.WageRate, tables.wage_rate),
    Kind(kept.ImportBatch, tables.import_batch),
    Kind(kept.ImportedRow, tables.imported_row),
    Kind(kept.ImportLayout, tables.import_layout),
    Kind(kept.PersonPin, tables.person_pin),
    Kind(kept.KeptBeside, tables.kept_beside),
    Kind(kept.MergedHistory, tables.merged_history),
    Kind(kept.MergedRow, tables.merged_row),
)
_BY_FACT: dict[type[Any], Kind[Any]] = {kind.fact: kind for kind in KINDS}
_BY_TABLE: dict[str, Kind[Any]] = {kind.table.name: kind for kind in KINDS}


def kind_of(fact: type[Fact]) -> Kind[Fact]:
    """Return the kind of a class of facts.

    Raises:
        KeyError: when no table keeps such a thing.
    """
    return _BY_FACT[fact]


def kind_named(table_name: str) -> Kind[Any]:
    """Return the kind kept in a table.

    Raises:
        KeyError: when there is no such table of facts.
    """
    return _BY_TABLE[table_name]


def row_of(fact: object) -> dict[str, Any]:
    """Return the row that keeps a fact.

    Raises:
        Refused: when it holds a number or a text that can't be kept.
    """
    return {name: storable(getattr(fact, name)) for name in kind_of(type(fact)).names}


def storable(value: Value) -> Value:
    """Return a field's value as the database takes it: words by their value, all else as it is.

    Raises:
        Refused: for an endless or undefined number, or a text with signs that no file can keep.
    """
    if value is None:
        return None
    if isinstance(value, str):
        if isinstance(value, StrEnum):
            return value.value
        if not _can_be_kept(value):
            raise Refused(
                _("The text holds a sign that can't be kept."), to_do=_("Type it again without the odd sign.")
            )
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise Refused(_("“{value}” is not a number that can be kept.").format(value=value))
    elif isinstance(value, int) and abs(value) >= _WHOLE_NUMBER_LIMIT:
        raise Refused(_("The number {value} is too large to be kept.").format(value=value))
    return value


def _can_be_kept(text: str) -> bool:
    if text.isascii():
        return "\0" not in text
    return "\0" not in text and not any("\ud800" <= sign <= "\udfff" for sign in text)


def select_facts(kind: Kind[Any]) -> Select[Any]:
    """Return the query for all facts of a kind, columns in the order of the fields."""
    return select(*(kind.table.c[name] for name in kind.names))


def in_order(connection: Connection, kind: Kind[Any], query: Select[Any]) -> Select[Any]:
    """Order a query, after its own order, as a farm file answers by itself: first written, first told.

    A server answers in any order, and therefore keeps a number beside every record.
    """
    if connection.dialect.name == "sqlite":
        return query
    return query.order_by(literal_column(f'"{kind.table.name}".{tables.WRITTEN}'))


def facts_of(kind: Kind[Fact], result: Result[Any]) -> tuple[Fact, ...]:
    """Turn the answer to `select_facts` into facts.

    Raises:
        FarmFileProblem: when the file holds a value that the program could never have written.
    """
    make = cast(Any, kind.fact)
    facts: list[Fact] = []
    place = kind.names.index(kind.word) if kind.word else 0
    known = {word.value: word for word in kind.words}
    try:
        for rows in result.partitions(_ROWS_AT_ONCE):
            if kind.word:
                facts += [make(*row[:place], known[row[place]], *row[place + 1 :]) for row in rows]
            else:
                facts += [make(*row) for row in rows]
        return tuple(facts)
    except (ValueError, TypeError, AttributeError, LookupError) as error:
        raise FarmFileProblem(
            _("The farm file holds a value in “{table}” that can't be read.").format(table=kind.table.name),
            _("Nothing was changed."),
            _("Restore the last good backup."),
        ) from error


def text_of(value: Value) -> str:
    """Return a value as the history of corrections keeps it; nothing is an empty text."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    return repr(value) if isinstance(value, float) else str(value)
