"""The columns and rules that the tables are made of, and the metadata they belong to.

Constraints carry names, so that later steps can change them and a refusal can say which one it was.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from enum import StrEnum

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    Date,
    DateTime,
    Dialect,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    Text,
    TypeDecorator,
)

_NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}
metadata = MetaData(naming_convention=_NAMES)

# On a server too, text is ordered sign by sign, and whole numbers are as large as in a file.
TEXT = Text().with_variant(Text(collation="C"), "postgresql")
WHOLE = Integer().with_variant(BigInteger(), "postgresql")


class UtcDateTime(TypeDecorator[datetime]):
    """An instant: any time zone goes in, UTC comes out. An instant without a zone is refused."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant without a time zone can't be kept")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def key() -> Column[str]:
    return Column("id", TEXT, primary_key=True, nullable=False)


def ref(name: str, table: str, *, optional: bool = False, later: bool = False) -> Column[str]:
    points_at = ForeignKey(f"{table}.id", deferrable=later or None, initially="DEFERRED" if later else None)
    return Column(name, TEXT, points_at, nullable=optional)


def text(name: str, *, optional: bool = False) -> Column[str]:
    return Column(name, TEXT, nullable=optional)


def yes_no(name: str) -> Column[bool]:
    return Column(name, Boolean(create_constraint=True, name=f"{name}_yes_or_no"), nullable=False)


def whole(name: str, *, optional: bool = False) -> Column[int]:
    return Column(name, WHOLE, nullable=optional)


def number(name: str, *, optional: bool = False) -> Column[float]:
    return Column(name, Float, nullable=optional)


def day(name: str, *, optional: bool = False) -> Column[date]:
    return Column(name, Date, nullable=optional)


def instant(name: str, *, optional: bool = False) -> Column[datetime]:
    return Column(name, UtcDateTime, nullable=optional)


def above_zero(*names: str) -> list[CheckConstraint]:
    return [CheckConstraint(f'"{name}" > 0', name=f"{name}_above_zero") for name in names]


def not_negative(*names: str) -> list[CheckConstraint]:
    return [CheckConstraint(f'"{name}" >= 0', name=f"{name}_not_negative") for name in names]


def not_empty(*names: str) -> list[CheckConstraint]:
    return [CheckConstraint(f"\"{name}\" <> ''", name=f"{name}_not_empty") for name in names]


def percent(name: str) -> CheckConstraint:
    return CheckConstraint(f'"{name}" BETWEEN 0 AND 100', name=f"{name}_0_to_100")


def one_of(name: str, words: type[StrEnum]) -> CheckConstraint:
    listed = ", ".join(f"'{word.value}'" for word in words)
    return CheckConstraint(f'"{name}" IN ({listed})', name=f"{name}_known")


def rule(name: str, condition: str) -> CheckConstraint:
    return CheckConstraint(condition, name=name)
