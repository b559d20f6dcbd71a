"""On a server too, tables and upgrade steps lead to the same; the rules of the tables are all there."""

from __future__ import annotations

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine

import postgres
from bayround.facts.server_address import ServerAddress
from bayround.records import check, server, server_schema, tables
from bayround.records.upgrades import run


def rules(address: ServerAddress) -> list[tuple[object, ...]]:
    """Return every rule of the tables, as the server itself words it."""
    return postgres.shared().ask(
        address.database,
        "SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint"
        " WHERE connamespace = 'public'::regnamespace AND conrelid::regclass::text <> 'alembic_version'"
        " ORDER BY 1, 2",
    )


def test_tables_and_steps_lead_to_the_same_on_a_server() -> None:
    by_steps, at_once = postgres.shared().new_database(), postgres.shared().new_database()
    stepped = server.engine_for(by_steps)
    with stepped.connect() as connection, connection.begin():
        run.run_steps(connection)
        assert compare_metadata(MigrationContext.configure(connection), tables.metadata) == []
        server_schema.run_steps(connection, "here")  # what a server has beside them
        assert server_schema.findings(connection) == []
    stepped.dispose()
    made = server.engine_for(at_once)
    with made.connect() as connection, connection.begin():
        tables.metadata.create_all(connection)
        server_schema.own_metadata.create_all(connection)
        server_schema.finish(connection)
    made.dispose()
    assert rules(by_steps) == rules(at_once)
    assert len(rules(by_steps)) > 100


def test_a_stranger_in_the_tables_is_noticed(server_farm: ServerAddress) -> None:
    with server.open_server_farm(server_farm) as farm:
        assert check.check(farm) == ()
        postgres.shared().ask(server_farm.database, "CREATE VIEW peek AS SELECT * FROM person")
        assert any("peek" in found for found in check.check(farm))


def test_the_engine_of_sqlalchemy_sees_no_password(server_farm: ServerAddress) -> None:
    engine = server.engine_for(server_farm)
    assert str(engine.url) == "postgresql+psycopg://"
    assert create_engine("sqlite://").url != engine.url
    engine.dispose()
