"""Version 2: forecasts, house checks, trials, money, imports, PINs."""

from __future__ import annotations

from alembic import op
from sqlalchemy import text

from bayround.records.upgrades.version_2 import ADDED, ADDED_LAST, MADE_ANEW, NEW_VALUES, metadata

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the tables of version 2; make the tables whose rules changed anew, with their rows."""
    connection = op.get_bind()
    added = [metadata.tables[name] for name in ADDED]
    metadata.create_all(connection, tables=added, checkfirst=False)
    held = {
        name: [
            dict(row) | NEW_VALUES.get(name, {})
            for row in connection.execute(text(f"SELECT * FROM {name}")).mappings()
        ]
        for name in MADE_ANEW
    }
    for name in reversed(MADE_ANEW):
        connection.execute(text(f"DROP TABLE {name}"))
    anew = [metadata.tables[name] for name in MADE_ANEW]
    metadata.create_all(connection, tables=anew, checkfirst=False)
    last = [metadata.tables[name] for name in ADDED_LAST]
    metadata.create_all(connection, tables=last, checkfirst=False)
    for name, rows in held.items():
        if rows:
            places = ", ".join(f":{column}" for column in rows[0])
            connection.execute(text(f"INSERT INTO {name} ({', '.join(rows[0])}) VALUES ({places})"), rows)
