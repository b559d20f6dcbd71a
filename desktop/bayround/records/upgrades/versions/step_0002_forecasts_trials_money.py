"""Version 2: forecasts, house checks, trials, money, imports, PINs."""

from __future__ import annotations

from alembic import op

from bayround.records.upgrades.version_2 import ADDED, metadata

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the tables of version 2."""
    added = [metadata.tables[name] for name in ADDED]
    metadata.create_all(op.get_bind(), tables=added, checkfirst=False)
