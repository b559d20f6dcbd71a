"""Version 1: the first tables."""

from __future__ import annotations

from alembic import op

from bayround.records.upgrades.version_1 import metadata

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables of version 1 in an empty database."""
    metadata.create_all(op.get_bind(), checkfirst=False)
