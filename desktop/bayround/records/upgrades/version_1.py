"""The tables as they were in version 1. Never edited: files of that version are out there.

Later versions are this and the steps since; what the program uses is `bayround.records.tables`.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    Date,
    DateTime,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

_NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}
metadata = MetaData(naming_convention=_NAMES)

_TEXT = Text().with_variant(Text(collation="C"), "postgresql")
_WHOLE = Integer().with_variant(BigInteger(), "postgresql")


_KINDS_OF_HOUSE = ("net house", "greenhouse", "tunnel", "open bed")
_ROLES = ("scout", "supervisor", "manager", "worker")
_COLOUR_AIMS = ("green", "coloured")
_STATES_OF_VISIT = ("draft", "done")
_STATES_OF_PLANT = ("standing", "skipped", "dead")
_KINDS_OF_JOB = ("round", "trellis", "fruit balance", "weeding", "pest or disease", "pick")
_STEPS_OF_JOB = ("raised", "assigned", "started", "done", "skipped", "reopened", "confirmed")
_READING_FIELDS = (
    "height_cm", "last_tie_cm", "stem_diameter_mm", "nodes", "trusses", "leaves", "flowers",
    "fruit_set", "fruit_green", "fruit_turning", "fruit_coloured", "fruit_picked",
)  # fmt: skip


def _key() -> Column[str]:
    return Column("id", _TEXT, primary_key=True, nullable=False)


def _ref(name: str, table: str, *, optional: bool = False, later: bool = False) -> Column[str]:
    points_at = ForeignKey(f"{table}.id", deferrable=later or None, initially="DEFERRED" if later else None)
    return Column(name, _TEXT, points_at, nullable=optional)


def _text(name: str) -> Column[str]:
    return Column(name, _TEXT, nullable=False)


def _yes_no(name: str) -> Column[bool]:
    return Column(name, Boolean(create_constraint=True, name=f"{name}_yes_or_no"), nullable=False)


def _whole(name: str, *, optional: bool = False) -> Column[int]:
    return Column(name, _WHOLE, nullable=optional)


def _number(name: str, *, optional: bool = False) -> Column[float]:
    return Column(name, Float, nullable=optional)


def _day(name: str, *, optional: bool = False) -> Column[date]:
    return Column(name, Date, nullable=optional)


def _instant(name: str, *, optional: bool = False) -> Column[datetime]:
    return Column(name, DateTime(timezone=True), nullable=optional)


def _above_zero(*names: str) -> list[CheckConstraint]:
    return [CheckConstraint(f'"{name}" > 0', name=f"{name}_above_zero") for name in names]


def _not_negative(*names: str) -> list[CheckConstraint]:
    return [CheckConstraint(f'"{name}" >= 0', name=f"{name}_not_negative") for name in names]


def _not_empty(*names: str) -> list[CheckConstraint]:
    return [CheckConstraint(f"\"{name}\" <> ''", name=f"{name}_not_empty") for name in names]


def _percent(name: str) -> CheckConstraint:
    return CheckConstraint(f'"{name}" BETWEEN 0 AND 100', name=f"{name}_0_to_100")


def _one_of(name: str, words: tuple[str, ...]) -> CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f'"{name}" IN ({listed})', name=f"{name}_known")


def _rule(name: str, condition: str) -> CheckConstraint:
    return CheckConstraint(condition, name=name)


farm = Table(
    "farm", metadata, _key(), _text("name"), _yes_no("invented"), _text("currency"), _whole("revision"),
    _day("opened_on", optional=True), *_not_empty("name"), *_not_negative("revision"),
)  # fmt: skip
person = Table(
    "person", metadata, _key(), _text("name"), _text("role"), _number("hours_per_week", optional=True),
    _yes_no("active"), *_not_empty("name"), _one_of("role", _ROLES), *_not_negative("hours_per_week"),
)  # fmt: skip
house = Table(
    "house", metadata, _key(), _text("name"), _text("kind"), _number("length_m"), _number("width_m"),
    _number("wire_height_m", optional=True), _text("cover"), _day("cover_fitted_on", optional=True),
    _number("map_east_m", optional=True), _number("map_north_m", optional=True), _whole("position"),
    _text("note"),
    *_not_empty("name"), _one_of("kind", _KINDS_OF_HOUSE), *_above_zero("length_m", "width_m", "wire_height_m"),
)  # fmt: skip
bay = Table(
    "bay", metadata, _key(), _ref("house_id", "house"), _text("name"), _whole("rows"), _number("length_m"),
    _number("width_m"), _whole("position"), _day("retired_on", optional=True),
    *_not_empty("name"), *_above_zero("rows", "length_m", "width_m"), Index(None, "house_id"),
)  # fmt: skip
planting = Table(
    "planting", metadata, _key(), _ref("bay_id", "bay"), _text("crop"), _text("variety"),
    _day("transplanted_on"), _whole("plants"), _whole("stems_per_plant"), _text("training"),
    _text("colour_aim"), _day("removed_on", optional=True), _text("note"),
    *_not_empty("crop"), *_above_zero("plants", "stems_per_plant"), _one_of("colour_aim", _COLOUR_AIMS),
    _rule("removed_after_transplanting", "removed_on >= transplanted_on"), Index(None, "bay_id"),
)  # fmt: skip
marked_plant = Table(
    "marked_plant", metadata, _key(), _ref("planting_id", "planting"), _whole("number"), _whole("row"),
    _whole("position"), _whole("stems", optional=True), _day("marked_on", optional=True),
    _day("ended_on", optional=True), _text("ended_why"),
    _ref("replaces_id", "marked_plant", optional=True, later=True),
    *_above_zero("number", "row", "stems"), *_not_negative("position"),
    _rule("ended_after_marking", "ended_on >= marked_on"), Index(None, "planting_id"),
)  # fmt: skip
round_ = Table(
    "round", metadata, _key(), _day("held_on"), _ref("scout_id", "person"), _text("note"),
    Index(None, "held_on"),
)  # fmt: skip
visit = Table(
    "visit", metadata, _key(), _ref("round_id", "round"), _ref("bay_id", "bay"),
    _ref("planting_id", "planting"), _day("visited_on"), _ref("scout_id", "person"), _text("state"),
    _instant("started_at", optional=True), _instant("finished_at", optional=True), _text("note"),
    UniqueConstraint("round_id", "bay_id"), _one_of("state", _STATES_OF_VISIT),
    _rule("finished_when_done", "finished_at IS NULL OR state = 'done'"),
    Index(None, "visited_on"), Index(None, "bay_id", "visited_on"), Index(None, "state"),
)  # fmt: skip
reading = Table(
    "reading", metadata, _key(), _ref("visit_id", "visit"), _ref("marked_plant_id", "marked_plant"),
    _text("state"), *(_number(field, optional=True) for field in _READING_FIELDS), _text("note"),
    UniqueConstraint("visit_id", "marked_plant_id"), _one_of("state", _STATES_OF_PLANT),
    *_above_zero("height_cm", "stem_diameter_mm"),
    *_not_negative(*(field for field in _READING_FIELDS if field not in {"height_cm", "stem_diameter_mm"})),
    Index(None, "marked_plant_id"),
)  # fmt: skip
pest_check = Table(
    "pest_check", metadata, _key(), _ref("visit_id", "visit"), _text("organism"), _text("inspected_part"),
    _whole("inspected"), _whole("infested"), _whole("counted", optional=True),
    _number("severity_percent", optional=True), _text("where"),
    *_not_empty("organism"), *_not_negative("inspected", "infested", "counted"),
    _rule("infested_at_most_inspected", "infested <= inspected"), _percent("severity_percent"),
    Index(None, "visit_id"),
)  # fmt: skip
card_count = Table(
    "card_count", metadata, _key(), _ref("visit_id", "visit"), _text("card"), _text("organism"),
    _whole("count"), _number("days_hung"), _number("area_cm2", optional=True), _text("colour"),
    *_not_empty("organism"), *_not_negative("count"), *_above_zero("days_hung", "area_cm2"),
    Index(None, "visit_id"),
)  # fmt: skip
weed_note = Table(
    "weed_note", metadata, _key(), _ref("visit_id", "visit"), _number("cover_percent"), _yes_no("seeding"),
    _text("species"), _text("where"), _percent("cover_percent"), Index(None, "visit_id"),
)  # fmt: skip
doubt_answer = Table(
    "doubt_answer", metadata, _key(), _ref("visit_id", "visit"), _ref("marked_plant_id", "marked_plant"),
    _text("field"), _number("value"), _text("rule"), _instant("answered_at", optional=True),
    Index(None, "visit_id"),
)  # fmt: skip
job = Table(
    "job", metadata, _key(), _ref("bay_id", "bay"), _text("kind"), _text("target"), _day("raised_on"),
    _day("due_on"), _text("reason"), _number("hours_estimated", optional=True),
    _one_of("kind", _KINDS_OF_JOB), *_not_negative("hours_estimated"), Index(None, "bay_id"),
)  # fmt: skip
job_event = Table(
    "job_event", metadata, _key(), _ref("job_id", "job"), _text("step"), _day("happened_on"),
    _instant("recorded_at"), _ref("person_id", "person", optional=True), _number("hours", optional=True),
    _text("note"), _one_of("step", _STEPS_OF_JOB), *_not_negative("hours"), Index(None, "job_id"),
)  # fmt: skip
treatment = Table(
    "treatment", metadata, _key(), _instant("ended_at"), _text("target"), _text("active_ingredient"),
    _text("mode_of_action_group"), _text("product"), _text("registration_number"),
    _number("re_entry_hours", optional=True), _number("pre_harvest_days", optional=True),
    _ref("applied_by_id", "person", optional=True), _yes_no("biological"), _text("note"),
    *_not_negative("re_entry_hours", "pre_harvest_days"),
)  # fmt: skip
treatment_bay = Table(
    "treatment_bay", metadata, _key(), _ref("treatment_id", "treatment"), _ref("bay_id", "bay"),
    UniqueConstraint("treatment_id", "bay_id"), Index(None, "bay_id"),
)  # fmt: skip
pick = Table(
    "pick", metadata, _key(), _ref("bay_id", "bay"), _ref("planting_id", "planting"), _day("picked_on"),
    _number("kg"), _whole("fruit", optional=True), _text("grade"), _text("colour"),
    _ref("picked_by_id", "person", optional=True), _text("note"), *_not_negative("kg", "fruit"),
    Index(None, "picked_on"), Index(None, "bay_id", "picked_on"),
)  # fmt: skip
climate_day = Table(
    "climate_day", metadata, _key(), _ref("house_id", "house"), _day("day"), _number("low_c"),
    _number("high_c"), UniqueConstraint("house_id", "day"), _rule("low_at_most_high", "low_c <= high_c"),
    Index(None, "day"),
)  # fmt: skip
correction = Table(
    "correction", metadata, _key(), _text("table_name"), _text("row_id"), _text("field"), _text("before"),
    _text("after"), _ref("person_id", "person", optional=True), _instant("corrected_at"), _text("reason"),
    _text("chain"), _whole("sequence"), UniqueConstraint("sequence"), Index(None, "table_name", "row_id"),
)  # fmt: skip
profile_override = Table(
    "profile_override", metadata, _key(), _text("crop"), _text("name"), _number("value"),
    _ref("person_id", "person", optional=True), _instant("changed_at"), _text("reason"),
    *_not_empty("crop", "name"), Index(None, "crop", "name"),
)  # fmt: skip
week_close = Table(
    "week_close", metadata, _key(), _text("week"), _instant("closed_at"), _whole("revision"),
    _text("digest"), _ref("person_id", "person", optional=True), *_not_empty("week"),
    *_not_negative("revision"), Index(None, "week"),
)  # fmt: skip
