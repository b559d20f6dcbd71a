"""The steps from one version of the farm file to the next (Alembic); imported only when one is due.

A new version: add `versions/step_000N_what.py` with revision ``000N``, raise `tables.SCHEMA_VERSION`
to N, change `tables`. Tests hold that tables and steps lead to the same file. When a step rebuilds a
table (`batch_alter_table`), pass `copy_from` with the table as it was in the version before: SQLite
does not tell Alembic of check constraints, and they would be lost.
"""
