"""Who may do what on a server: groups with the least rights that do the work, as a script for its owner.

The server itself enforces it, whatever program somebody uses: a scout changes drafts and nothing else,
nobody changes or takes out an entry of the history, and who may only read can only read.
"""

from __future__ import annotations

from collections.abc import Iterable

from bayround.records import server_schema, tables

READER, SCOUT, SUPERVISOR, MANAGER = "reader", "scout", "supervisor", "manager"
GROUPS = (READER, SCOUT, SUPERVISOR, MANAGER)

_OF_VISITS = ("reading", "pest_check", "card_count", "weed_note")
_ROUNDS = ("round", "visit", *_OF_VISITS, "doubt_answer", "forecast", "stand_count")
_SET_UP = ("house", "bay", "planting", "marked_plant", "plant_choice")
_WORK = (
    "job",
    "job_event",
    "treatment",
    "treatment_bay",
    "pick",
    "explanation",
    "climate_day",
    "house_check",
)
_OFFICE = ("person", "cost", "price", "wage_rate", "trial", "trial_plot", "import_batch", "import_layout")
_MERGED = ("kept_beside", "merged_history", "merged_row")

INSERTS = {
    SCOUT: (*_ROUNDS, "correction", "keyed_cell"),
    SUPERVISOR: (*_ROUNDS, "correction", "keyed_cell", *_SET_UP, *_WORK, "week_close"),
    MANAGER: tuple(sorted({*tables.metadata.tables, "keyed_cell"} - {"farm"})),
}
"""Tables into which each group may write new records."""

UPDATES = {
    SCOUT: ("visit", *_OF_VISITS, "keyed_cell"),
    SUPERVISOR: (
        "visit",
        *_OF_VISITS,
        "keyed_cell",
        *_SET_UP,
        "treatment",
        "pick",
        "job",
        "climate_day",
        "stand_count",
    ),
    MANAGER: tuple(
        sorted({*_ROUNDS, "keyed_cell", *_SET_UP, *_WORK, *_OFFICE, "person_pin", "farm", *_MERGED})
    ),
}
"""Tables whose records each group may change. Corrections, closed weeks and a farm's own numbers: nobody."""

DELETES = {
    SCOUT: ("pest_check", "card_count", "weed_note", "keyed_cell"),
    SUPERVISOR: ("pest_check", "card_count", "weed_note", "keyed_cell"),
    MANAGER: ("pest_check", "card_count", "weed_note", "keyed_cell", "person_pin", *_MERGED),
}
"""Tables from which each group may take records out: rows of drafts, and what stands apart."""


def group_name(database: str, group: str) -> str:
    """Return what a group is called on the server; each farm has groups of its own."""
    return f"{database}_{group}"


def script(database: str) -> str:
    """Return the SQL that makes the groups of a farm and gives each its rights; run it as often as you like.

    The owner of the tables runs it in the farm's database; making groups needs CREATEROLE.
    """
    groups = {group: _quoted(group_name(database, group)) for group in GROUPS}
    everybody = ", ".join(groups.values())
    lines = [
        "-- Rights for a farm of Bayround. Run it as the owner of the farm's tables, in the farm's database:",
        "--   psql -v ON_ERROR_STOP=1 -f THIS_FILE DATABASE",
        "-- Then make a login for each person and put it into one group, with a password of the person's own:",
        f"--   CREATE ROLE somebody LOGIN IN ROLE {groups[SCOUT]};  \\password somebody",
        "BEGIN;",
        *(_make_group(name) for name in groups.values()),
        f"REVOKE ALL ON DATABASE {_quoted(database)} FROM PUBLIC;",
        f"GRANT CONNECT ON DATABASE {_quoted(database)} TO {everybody};",
        "REVOKE ALL ON SCHEMA public FROM PUBLIC;",
        f"GRANT USAGE ON SCHEMA public TO {everybody};",
        f"REVOKE ALL ON ALL TABLES IN SCHEMA public FROM PUBLIC, {everybody};",
        f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {everybody};",
    ]
    for group in (SCOUT, SUPERVISOR, MANAGER):
        name = groups[group]
        lines += [
            f"-- {group}",
            f"GRANT UPDATE (revision) ON farm TO {name};",
            f"GRANT INSERT ON {_listed(INSERTS[group])} TO {name};",
            f"GRANT UPDATE ON {_listed(UPDATES[group])} TO {name};",
            f"GRANT DELETE ON {_listed(DELETES[group])} TO {name};",
        ]
    lines += _draft_rules(groups)
    return "\n".join([*lines, "COMMIT;", ""])


def _make_group(name: str) -> str:
    literal = name[1:-1].replace('""', '"').replace("'", "''")
    return (
        f"DO $make$ BEGIN IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '{literal}')"
        f" THEN CREATE ROLE {name} NOLOGIN; END IF; END $make$;"
    )


def _draft_rules(groups: dict[str, str]) -> Iterable[str]:
    """Row rules: a scout changes what belongs to a draft; who is above changes anything, by correction."""
    others = f"{groups[SUPERVISOR]}, {groups[MANAGER]}"
    for table in ("visit", *_OF_VISITS):
        draft = "state = 'draft'" if table == "visit" else _of_a_draft(table)
        afterwards = (
            "true" if table == "visit" else draft
        )  # a draft may become finished; its rows stay its own
        yield f"ALTER TABLE {_quoted(table)} ENABLE ROW LEVEL SECURITY;"
        for policy, command, to, rule in (
            ("everybody_reads", "SELECT", ", ".join(groups.values()), "USING (true)"),
            ("above_scouts", "ALL", others, "USING (true) WITH CHECK (true)"),
            ("scouts_begin", "INSERT", groups[SCOUT], f"WITH CHECK ({draft})"),
            ("scouts_change", "UPDATE", groups[SCOUT], f"USING ({draft}) WITH CHECK ({afterwards})"),
            ("scouts_take_out", "DELETE", groups[SCOUT], f"USING ({draft})"),
        ):
            yield f"DROP POLICY IF EXISTS {policy} ON {_quoted(table)};"
            yield f"CREATE POLICY {policy} ON {_quoted(table)} FOR {command} TO {to} {rule};"


def _of_a_draft(table: str) -> str:
    return f"EXISTS (SELECT FROM visit AS theirs WHERE theirs.id = {_quoted(table)}.visit_id AND theirs.state = 'draft')"


def _listed(names: Iterable[str]) -> str:
    known = {*tables.metadata.tables, server_schema.keyed_cell.name}
    return ", ".join(_quoted(name) for name in names if name in known)


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
