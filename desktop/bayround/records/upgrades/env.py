"""Alembic runs this file: it hands over our connection and nothing else."""

from __future__ import annotations

from alembic import context

from bayround.records.tables import metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True
)
context.run_migrations()
