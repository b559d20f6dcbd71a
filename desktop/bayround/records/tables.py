"""The tables of a farm file: one a kind of fact, columns named as the fact's fields.

Instants are kept in UTC, calendar days as dates. Lengths are in metres unless the name says otherwise.
"""

from __future__ import annotations

from sqlalchemy import Column, Index, MetaData, String, Table, UniqueConstraint

from bayround.facts.farm import ColourAim, HouseKind, Role
from bayround.facts.kept import Condition
from bayround.facts.money import CostKind
from bayround.facts.rounds import READING_FIELDS, PlantState, VisitState
from bayround.facts.trials import TrialDesign
from bayround.facts.work import JobKind, JobStep
from bayround.records import columns as c

metadata = c.metadata
APPLICATION_ID = 0x42617952  # "BayR": marks a SQLite file as a farm file
WRITTEN = "written"  # on a server alone: the order in which records came, which a file keeps by itself
SCHEMA_VERSION = 2  # raised by every step in upgrades/versions

farm = Table(
    "farm", metadata, c.key(), c.text("name"), c.yes_no("invented"), c.text("currency"), c.whole("revision"),
    c.day("opened_on", optional=True), *c.not_empty("name"), *c.not_negative("revision"),
)  # fmt: skip
person = Table(
    "person", metadata, c.key(), c.text("name"), c.text("role"), c.number("hours_per_week", optional=True),
    c.yes_no("active"), *c.not_empty("name"), c.one_of("role", Role), *c.not_negative("hours_per_week"),
)  # fmt: skip
house = Table(
    "house", metadata, c.key(), c.text("name"), c.text("kind"), c.number("length_m"), c.number("width_m"),
    c.number("wire_height_m", optional=True), c.text("cover"), c.day("cover_fitted_on", optional=True),
    c.number("map_east_m", optional=True), c.number("map_north_m", optional=True), c.whole("position"),
    c.text("note"),
    *c.not_empty("name"), c.one_of("kind", HouseKind), *c.above_zero("length_m", "width_m", "wire_height_m"),
)  # fmt: skip
bay = Table(
    "bay", metadata, c.key(), c.ref("house_id", "house"), c.text("name"), c.whole("rows"), c.number("length_m"),
    c.number("width_m"), c.whole("position"), c.day("retired_on", optional=True),
    *c.not_empty("name"), *c.above_zero("rows", "length_m", "width_m"), Index(None, "house_id"),
)  # fmt: skip
planting = Table(
    "planting", metadata, c.key(), c.ref("bay_id", "bay"), c.text("crop"), c.text("variety"),
    c.day("transplanted_on"), c.whole("plants"), c.whole("stems_per_plant"), c.text("training"),
    c.text("colour_aim"), c.day("removed_on", optional=True), c.text("note"),
    *c.not_empty("crop"), *c.above_zero("plants", "stems_per_plant"), c.one_of("colour_aim", ColourAim),
    c.rule("removed_after_transplanting", "removed_on >= transplanted_on"), Index(None, "bay_id"),
)  # fmt: skip
marked_plant = Table(
    "marked_plant", metadata, c.key(), c.ref("planting_id", "planting"), c.whole("number"), c.whole("row"),
    c.whole("position"), c.whole("stems", optional=True), c.day("marked_on", optional=True),
    c.day("ended_on", optional=True), c.text("ended_why"),
    c.ref("replaces_id", "marked_plant", optional=True, later=True),
    *c.above_zero("number", "row", "stems"), *c.not_negative("position"),
    c.rule("ended_after_marking", "ended_on >= marked_on"), Index(None, "planting_id"),
)  # fmt: skip
plant_choice = Table(
    "plant_choice", metadata, c.key(), c.ref("marked_plant_id", "marked_plant"), c.whole("seed", optional=True),
    c.yes_no("targeted"), *c.not_negative("seed"), Index(None, "marked_plant_id"),
)  # fmt: skip
round_ = Table(
    "round", metadata, c.key(), c.day("held_on"), c.ref("scout_id", "person"), c.text("note"),
    Index(None, "held_on"),
)  # fmt: skip
visit = Table(
    "visit", metadata, c.key(), c.ref("round_id", "round"), c.ref("bay_id", "bay"),
    c.ref("planting_id", "planting"), c.day("visited_on"), c.ref("scout_id", "person"), c.text("state"),
    c.instant("started_at", optional=True), c.instant("finished_at", optional=True), c.text("note"),
    UniqueConstraint("round_id", "bay_id"), c.one_of("state", VisitState),
    c.rule("finished_when_done", "finished_at IS NULL OR state = 'done'"),
    Index(None, "visited_on"), Index(None, "bay_id", "visited_on"), Index(None, "state"),
)  # fmt: skip
reading = Table(
    "reading", metadata, c.key(), c.ref("visit_id", "visit"), c.ref("marked_plant_id", "marked_plant"),
    c.text("state"), *(c.number(field, optional=True) for field in READING_FIELDS), c.text("note"),
    UniqueConstraint("visit_id", "marked_plant_id"), c.one_of("state", PlantState),
    *c.above_zero("height_cm", "stem_diameter_mm"),
    *c.not_negative(*(field for field in READING_FIELDS if field not in {"height_cm", "stem_diameter_mm"})),
    Index(None, "marked_plant_id"),
)  # fmt: skip
pest_check = Table(
    "pest_check", metadata, c.key(), c.ref("visit_id", "visit"), c.text("organism"), c.text("inspected_part"),
    c.whole("inspected"), c.whole("infested"), c.whole("counted", optional=True),
    c.number("severity_percent", optional=True), c.text("where"),
    *c.not_empty("organism"), *c.not_negative("inspected", "infested", "counted"),
    c.rule("infested_at_most_inspected", "infested <= inspected"), c.percent("severity_percent"),
    Index(None, "visit_id"),
)  # fmt: skip
card_count = Table(
    "card_count", metadata, c.key(), c.ref("visit_id", "visit"), c.text("card"), c.text("organism"),
    c.whole("count"), c.number("days_hung"), c.number("area_cm2", optional=True), c.text("colour"),
    *c.not_empty("organism"), *c.not_negative("count"), *c.above_zero("days_hung", "area_cm2"),
    Index(None, "visit_id"),
)  # fmt: skip
weed_note = Table(
    "weed_note", metadata, c.key(), c.ref("visit_id", "visit"), c.number("cover_percent"), c.yes_no("seeding"),
    c.text("species"), c.text("where"), c.percent("cover_percent"), Index(None, "visit_id"),
)  # fmt: skip
doubt_answer = Table(
    "doubt_answer", metadata, c.key(), c.ref("visit_id", "visit"), c.ref("marked_plant_id", "marked_plant"),
    c.text("field"), c.number("value"), c.text("rule"), c.instant("answered_at", optional=True),
    Index(None, "visit_id"),
)  # fmt: skip
job = Table(
    "job", metadata, c.key(), c.ref("bay_id", "bay"), c.text("kind"), c.text("target"), c.day("raised_on"),
    c.day("due_on"), c.text("reason"), c.number("hours_estimated", optional=True),
    c.one_of("kind", JobKind), *c.not_negative("hours_estimated"), Index(None, "bay_id"),
)  # fmt: skip
job_event = Table(
    "job_event", metadata, c.key(), c.ref("job_id", "job"), c.text("step"), c.day("happened_on"),
    c.instant("recorded_at"), c.ref("person_id", "person", optional=True), c.number("hours", optional=True),
    c.text("note"), c.one_of("step", JobStep), *c.not_negative("hours"), Index(None, "job_id"),
)  # fmt: skip
treatment = Table(
    "treatment", metadata, c.key(), c.instant("ended_at"), c.text("target"), c.text("active_ingredient"),
    c.text("mode_of_action_group"), c.text("product"), c.text("registration_number"),
    c.number("re_entry_hours", optional=True), c.number("pre_harvest_days", optional=True),
    c.ref("applied_by_id", "person", optional=True), c.yes_no("biological"), c.text("note"),
    c.instant("started_at", optional=True), *c.not_negative("re_entry_hours", "pre_harvest_days"),
    c.rule("started_before_end", "started_at <= ended_at"),
)  # fmt: skip
treatment_bay = Table(
    "treatment_bay", metadata, c.key(), c.ref("treatment_id", "treatment"), c.ref("bay_id", "bay"),
    c.yes_no("taken_out"), UniqueConstraint("treatment_id", "bay_id"), Index(None, "bay_id"),
)  # fmt: skip
pick = Table(
    "pick", metadata, c.key(), c.ref("bay_id", "bay"), c.ref("planting_id", "planting"), c.day("picked_on"),
    c.number("kg"), c.whole("fruit", optional=True), c.text("grade"), c.text("colour"),
    c.ref("picked_by_id", "person", optional=True), c.text("note"), c.instant("began_at", optional=True),
    *c.not_negative("kg", "fruit"), Index(None, "picked_on"), Index(None, "bay_id", "picked_on"),
)  # fmt: skip
explanation = Table(
    "explanation", metadata, c.key(), c.text("table_name"), c.text("row_id"), c.ref("treatment_id", "treatment"),
    c.text("known_as"), c.text("said"), c.instant("kept_at"), c.ref("person_id", "person", optional=True),
    *c.not_empty("table_name", "row_id", "said"), Index(None, "table_name", "row_id"),
)  # fmt: skip
climate_day = Table(
    "climate_day", metadata, c.key(), c.ref("house_id", "house"), c.day("day"), c.number("low_c"),
    c.number("high_c"), c.number("humidity_low_percent", optional=True),
    c.number("humidity_high_percent", optional=True), c.number("vapour_pressure_deficit_kpa", optional=True),
    c.number("light_mol_m2", optional=True), UniqueConstraint("house_id", "day"),
    c.rule("low_at_most_high", "low_c <= high_c"), c.percent("humidity_low_percent"),
    c.percent("humidity_high_percent"),
    c.rule("humidity_low_at_most_high", "humidity_low_percent <= humidity_high_percent"),
    *c.not_negative("vapour_pressure_deficit_kpa", "light_mol_m2"), Index(None, "day"),
)  # fmt: skip
correction = Table(
    "correction", metadata, c.key(), c.text("table_name"), c.text("row_id"), c.text("field"), c.text("before"),
    c.text("after"), c.ref("person_id", "person", optional=True), c.instant("corrected_at"), c.text("reason"),
    c.text("chain"), c.whole("sequence"), UniqueConstraint("sequence"), Index(None, "table_name", "row_id"),
)  # fmt: skip
profile_override = Table(
    "profile_override", metadata, c.key(), c.text("crop"), c.text("name"), c.number("value"),
    c.ref("person_id", "person", optional=True), c.instant("changed_at"), c.text("reason"),
    *c.not_empty("crop", "name"), Index(None, "crop", "name"),
)  # fmt: skip
week_close = Table(
    "week_close", metadata, c.key(), c.text("week"), c.instant("closed_at"), c.whole("revision"),
    c.text("digest"), c.ref("person_id", "person", optional=True), c.day("as_of", optional=True),
    c.text("chain_head", optional=True), *c.not_empty("week"), *c.not_negative("revision"), Index(None, "week"),
)  # fmt: skip
forecast = Table(
    "forecast", metadata, c.key(), c.ref("planting_id", "planting"), c.day("made_on"), c.text("for_week"),
    c.number("fruit"), c.number("fruit_low"), c.number("fruit_high"), c.number("kg"), c.number("kg_low"),
    c.number("kg_high"), c.number("level"), c.number("bias_factor"),
    UniqueConstraint("planting_id", "made_on", "for_week"),
    *c.not_negative("fruit", "fruit_low", "fruit_high", "kg", "kg_low", "kg_high"),
    *c.above_zero("level", "bias_factor"),
)  # fmt: skip
stand_count = Table(
    "stand_count", metadata, c.key(), c.ref("planting_id", "planting"), c.day("counted_on"), c.whole("plants"),
    c.ref("counted_by_id", "person", optional=True), c.text("note"), *c.above_zero("plants"),
    Index(None, "planting_id", "counted_on"),
)  # fmt: skip
house_check = Table(
    "house_check", metadata, c.key(), c.ref("house_id", "house"), c.day("checked_on"), c.text("part"),
    c.text("condition"), c.ref("checked_by_id", "person", optional=True), c.text("note"),
    *c.not_empty("part"), c.one_of("condition", Condition), Index(None, "house_id", "checked_on"),
)  # fmt: skip
trial = Table(
    "trial", metadata, c.key(), c.text("name"), c.text("question"), c.text("design"), c.text("main_factor"),
    c.text("measure"), c.day("started_on"), c.text("sub_factor"), c.text("measure_unit"),
    c.day("ended_on", optional=True), c.whole("seed", optional=True), c.text("note"),
    *c.not_empty("name", "main_factor"), c.one_of("design", TrialDesign),
    c.rule("ended_after_start", "ended_on >= started_on"),
)  # fmt: skip
trial_plot = Table(
    "trial_plot", metadata, c.key(), c.ref("trial_id", "trial"), c.text("name"), c.text("main_level"),
    c.text("sub_level"), c.text("block"), c.ref("bay_id", "bay", optional=True),
    c.whole("first_row", optional=True), c.whole("last_row", optional=True), c.number("value", optional=True),
    c.text("note"), UniqueConstraint("trial_id", "name"), *c.not_empty("name", "main_level"),
    *c.above_zero("first_row"), c.rule("rows_in_order", "first_row <= last_row"), Index(None, "bay_id"),
)  # fmt: skip
cost = Table(
    "cost", metadata, c.key(), c.day("spent_on"), c.text("kind"), c.text("what"), c.whole("amount_hundredths"),
    c.ref("bay_id", "bay", optional=True), c.ref("house_id", "house", optional=True),
    c.number("life_years", optional=True), c.text("note"),
    c.one_of("kind", CostKind), *c.not_empty("what"), *c.above_zero("life_years"), Index(None, "spent_on"),
)  # fmt: skip
price = Table(
    "price", metadata, c.key(), c.day("valid_from"), c.text("crop"), c.whole("per_kg_hundredths"),
    c.text("grade"), c.text("colour"), *c.not_empty("crop"), *c.not_negative("per_kg_hundredths"),
    UniqueConstraint("valid_from", "crop", "grade", "colour"),
)  # fmt: skip
wage_rate = Table(
    "wage_rate", metadata, c.key(), c.day("valid_from"), c.whole("per_hour_hundredths"),
    *c.not_negative("per_hour_hundredths"), UniqueConstraint("valid_from"),
)  # fmt: skip
import_batch = Table(
    "import_batch", metadata, c.key(), c.text("kind"), c.text("file_name"), c.text("file_digest"),
    c.instant("imported_at"), c.ref("person_id", "person", optional=True), c.whole("rows"),
    c.instant("taken_back_at", optional=True), *c.not_empty("kind"), *c.not_negative("rows"),
    Index(None, "file_digest"),
)  # fmt: skip
imported_row = Table(
    "imported_row", metadata, c.key(), c.ref("batch_id", "import_batch"), c.text("table_name"),
    c.text("row_id"), c.text("field"), c.text("before"), c.text("after"),
    *c.not_empty("table_name", "row_id"), Index(None, "batch_id"),
)  # fmt: skip
import_layout = Table(
    "import_layout", metadata, c.key(), c.text("headings_digest"), c.text("matching"),
    c.instant("remembered_at"), *c.not_empty("headings_digest"), Index(None, "headings_digest"),
)  # fmt: skip
person_pin = Table(
    "person_pin", metadata, c.key(), c.ref("person_id", "person"), c.text("pin_hash"),
    UniqueConstraint("person_id"), *c.not_empty("pin_hash"),
)  # fmt: skip
kept_beside = Table(
    "kept_beside", metadata, c.key(), c.text("table_name"), c.text("row_id"), c.text("field"), c.text("value"),
    *c.not_empty("table_name", "row_id", "field"), Index(None, "table_name", "row_id"),
)  # fmt: skip
merged_history = Table(
    "merged_history", metadata, c.key(), c.whole("entries"), c.text("head"), c.text("entry_ids"),
    *c.above_zero("entries"), *c.not_empty("head"),
)  # fmt: skip
merged_row = Table(
    "merged_row", metadata, c.key(), c.text("table_name"), c.text("became_id"),
    *c.not_empty("table_name", "became_id"),
)  # fmt: skip

# The step the file stands at, in the table Alembic keeps; not a fact, so not in `metadata`.
version_table = Table(
    "alembic_version",
    MetaData(naming_convention={"pk": "%(table_name)s_pkc"}),
    Column("version_num", String(32), primary_key=True, nullable=False),
)
