"""Run the steps that are due, on a connection and in a transaction of the caller's."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

LOCATION = Path(__file__).resolve().parent


def run_steps(connection: Connection, target: str = "head") -> None:
    """Bring the schema to *target*; the caller commits, or rolls everything back."""
    settings = Config()
    settings.set_main_option("script_location", str(LOCATION).replace("%", "%%"))
    settings.set_main_option("path_separator", "os")
    settings.attributes["connection"] = connection
    command.upgrade(settings, target)
