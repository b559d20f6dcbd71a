"""The tables that version 2 added. Never edited: files of that version are out there.

They stand beside the tables of version 1, which they refer to.
"""

from __future__ import annotations

from sqlalchemy import Column, Index, MetaData, Table, Text, UniqueConstraint

from bayround.records.upgrades import version_1
from bayround.records.upgrades.version_1 import (
    _NAMES,
    _STEPS_OF_JOB,
    _above_zero,
    _day,
    _instant,
    _key,
    _not_empty,
    _not_negative,
    _number,
    _one_of,
    _percent,
    _ref,
    _rule,
    _text,
    _whole,
    _yes_no,
)

MADE_ANEW = ("job", "job_event", "treatment", "treatment_bay", "week_close", "climate_day", "pick")
"""Tables whose rules or columns changed: the kinds of job are more, the steps of jobs refer to them; a
treatment may say when it began, and a bay may be taken out of one; a pick may say when it began; closed weeks
say more; days of climate hold humidity and light."""

metadata = MetaData(naming_convention=_NAMES)
for _earlier in version_1.metadata.sorted_tables:
    if _earlier.name not in MADE_ANEW:
        _earlier.to_metadata(metadata)

_KINDS_OF_JOB = ("round", "trellis", "fruit balance", "weeding", "pest or disease", "pick", "house check")

_CONDITIONS = ("not looked at", "good", "fault")
_DESIGNS = ("completely randomised", "randomised blocks", "split plot", "no replication")
_KINDS_OF_COST = ("materials", "labour", "treatments", "cover", "structure", "other")

ADDED = (
    "forecast", "house_check", "trial", "trial_plot", "cost", "price", "wage_rate", "import_batch",
    "imported_row", "import_layout", "person_pin", "kept_beside", "merged_history", "merged_row",
    "plant_choice", "stand_count",
)  # fmt: skip
ADDED_LAST = ("explanation",)
"""Refers to a table that is made anew."""

NEW_VALUES = {"treatment_bay": {"taken_out": False}}
"""What a new column holds in the rows that were there."""

Table(
    "job", metadata, _key(), _ref("bay_id", "bay"), _text("kind"), _text("target"), _day("raised_on"),
    _day("due_on"), _text("reason"), _number("hours_estimated", optional=True),
    _one_of("kind", _KINDS_OF_JOB), *_not_negative("hours_estimated"), Index(None, "bay_id"),
)  # fmt: skip
Table(
    "job_event", metadata, _key(), _ref("job_id", "job"), _text("step"), _day("happened_on"),
    _instant("recorded_at"), _ref("person_id", "person", optional=True), _number("hours", optional=True),
    _text("note"), _one_of("step", _STEPS_OF_JOB), *_not_negative("hours"), Index(None, "job_id"),
)  # fmt: skip
Table(
    "treatment", metadata, _key(), _instant("ended_at"), _text("target"), _text("active_ingredient"),
    _text("mode_of_action_group"), _text("product"), _text("registration_number"),
    _number("re_entry_hours", optional=True), _number("pre_harvest_days", optional=True),
    _ref("applied_by_id", "person", optional=True), _yes_no("biological"), _text("note"),
    _instant("started_at", optional=True), *_not_negative("re_entry_hours", "pre_harvest_days"),
    _rule("started_before_end", "started_at <= ended_at"),
)  # fmt: skip
Table(
    "treatment_bay", metadata, _key(), _ref("treatment_id", "treatment"), _ref("bay_id", "bay"),
    _yes_no("taken_out"), UniqueConstraint("treatment_id", "bay_id"), Index(None, "bay_id"),
)  # fmt: skip
Table(
    "week_close", metadata, _key(), _text("week"), _instant("closed_at"), _whole("revision"),
    _text("digest"), _ref("person_id", "person", optional=True), _day("as_of", optional=True),
    Column("chain_head", Text, nullable=True), *_not_empty("week"), *_not_negative("revision"),
    Index(None, "week"),
)  # fmt: skip
Table(
    "climate_day", metadata, _key(), _ref("house_id", "house"), _day("day"), _number("low_c"),
    _number("high_c"), _number("humidity_low_percent", optional=True),
    _number("humidity_high_percent", optional=True), _number("vapour_pressure_deficit_kpa", optional=True),
    _number("light_mol_m2", optional=True), UniqueConstraint("house_id", "day"),
    _rule("low_at_most_high", "low_c <= high_c"), _percent("humidity_low_percent"),
    _percent("humidity_high_percent"),
    _rule("humidity_low_at_most_high", "humidity_low_percent <= humidity_high_percent"),
    *_not_negative("vapour_pressure_deficit_kpa", "light_mol_m2"), Index(None, "day"),
)  # fmt: skip
Table(
    "plant_choice", metadata, _key(), _ref("marked_plant_id", "marked_plant"), _whole("seed", optional=True),
    _yes_no("targeted"), *_not_negative("seed"), Index(None, "marked_plant_id"),
)  # fmt: skip
Table(
    "pick", metadata, _key(), _ref("bay_id", "bay"), _ref("planting_id", "planting"), _day("picked_on"),
    _number("kg"), _whole("fruit", optional=True), _text("grade"), _text("colour"),
    _ref("picked_by_id", "person", optional=True), _text("note"), _instant("began_at", optional=True),
    *_not_negative("kg", "fruit"), Index(None, "picked_on"), Index(None, "bay_id", "picked_on"),
)  # fmt: skip
Table(
    "explanation", metadata, _key(), _text("table_name"), _text("row_id"), _ref("treatment_id", "treatment"),
    _text("known_as"), _text("said"), _instant("kept_at"), _ref("person_id", "person", optional=True),
    *_not_empty("table_name", "row_id", "said"), Index(None, "table_name", "row_id"),
)  # fmt: skip
Table(
    "forecast", metadata, _key(), _ref("planting_id", "planting"), _day("made_on"), _text("for_week"),
    _number("fruit"), _number("fruit_low"), _number("fruit_high"), _number("kg"), _number("kg_low"),
    _number("kg_high"), _number("level"), _number("bias_factor"),
    UniqueConstraint("planting_id", "made_on", "for_week"),
    *_not_negative("fruit", "fruit_low", "fruit_high", "kg", "kg_low", "kg_high"),
    *_above_zero("level", "bias_factor"),
)  # fmt: skip
Table(
    "stand_count", metadata, _key(), _ref("planting_id", "planting"), _day("counted_on"), _whole("plants"),
    _ref("counted_by_id", "person", optional=True), _text("note"), *_above_zero("plants"),
    Index(None, "planting_id", "counted_on"),
)  # fmt: skip
Table(
    "house_check", metadata, _key(), _ref("house_id", "house"), _day("checked_on"), _text("part"),
    _text("condition"), _ref("checked_by_id", "person", optional=True), _text("note"),
    *_not_empty("part"), _one_of("condition", _CONDITIONS), Index(None, "house_id", "checked_on"),
)  # fmt: skip
Table(
    "trial", metadata, _key(), _text("name"), _text("question"), _text("design"), _text("main_factor"),
    _text("measure"), _day("started_on"), _text("sub_factor"), _text("measure_unit"),
    _day("ended_on", optional=True), _whole("seed", optional=True), _text("note"),
    *_not_empty("name", "main_factor"), _one_of("design", _DESIGNS),
    _rule("ended_after_start", "ended_on >= started_on"),
)  # fmt: skip
Table(
    "trial_plot", metadata, _key(), _ref("trial_id", "trial"), _text("name"), _text("main_level"),
    _text("sub_level"), _text("block"), _ref("bay_id", "bay", optional=True),
    _whole("first_row", optional=True), _whole("last_row", optional=True), _number("value", optional=True),
    _text("note"), UniqueConstraint("trial_id", "name"), *_not_empty("name", "main_level"),
    *_above_zero("first_row"), _rule("rows_in_order", "first_row <= last_row"), Index(None, "bay_id"),
)  # fmt: skip
Table(
    "cost", metadata, _key(), _day("spent_on"), _text("kind"), _text("what"), _whole("amount_hundredths"),
    _ref("bay_id", "bay", optional=True), _ref("house_id", "house", optional=True),
    _number("life_years", optional=True), _text("note"),
    _one_of("kind", _KINDS_OF_COST), *_not_empty("what"), *_above_zero("life_years"), Index(None, "spent_on"),
)  # fmt: skip
Table(
    "price", metadata, _key(), _day("valid_from"), _text("crop"), _whole("per_kg_hundredths"),
    _text("grade"), _text("colour"), *_not_empty("crop"), *_not_negative("per_kg_hundredths"),
    UniqueConstraint("valid_from", "crop", "grade", "colour"),
)  # fmt: skip
Table(
    "wage_rate", metadata, _key(), _day("valid_from"), _whole("per_hour_hundredths"),
    *_not_negative("per_hour_hundredths"), UniqueConstraint("valid_from"),
)  # fmt: skip
Table(
    "import_batch", metadata, _key(), _text("kind"), _text("file_name"), _text("file_digest"),
    _instant("imported_at"), _ref("person_id", "person", optional=True), _whole("rows"),
    _instant("taken_back_at", optional=True), *_not_empty("kind"), *_not_negative("rows"),
    Index(None, "file_digest"),
)  # fmt: skip
Table(
    "imported_row", metadata, _key(), _ref("batch_id", "import_batch"), _text("table_name"),
    _text("row_id"), _text("field"), _text("before"), _text("after"),
    *_not_empty("table_name", "row_id"), Index(None, "batch_id"),
)  # fmt: skip
Table(
    "import_layout", metadata, _key(), _text("headings_digest"), _text("matching"),
    _instant("remembered_at"), *_not_empty("headings_digest"), Index(None, "headings_digest"),
)  # fmt: skip
Table(
    "person_pin", metadata, _key(), _ref("person_id", "person"), _text("pin_hash"),
    UniqueConstraint("person_id"), *_not_empty("pin_hash"),
)  # fmt: skip
Table(
    "kept_beside", metadata, _key(), _text("table_name"), _text("row_id"), _text("field"), _text("value"),
    *_not_empty("table_name", "row_id", "field"), Index(None, "table_name", "row_id"),
)  # fmt: skip
Table(
    "merged_history", metadata, _key(), _whole("entries"), _text("head"), _text("entry_ids"),
    *_above_zero("entries"), *_not_empty("head"),
)  # fmt: skip
Table(
    "merged_row", metadata, _key(), _text("table_name"), _text("became_id"),
    *_not_empty("table_name", "became_id"),
)  # fmt: skip
