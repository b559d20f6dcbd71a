"""A farm on a server: moved there and back, its password, the rights of its people."""

from __future__ import annotations

from contextlib import closing

from bayround.actions import farm as farm_actions
from bayround.facts.server_address import FarmPlace, ServerAddress
from bayround.records import moving, server_login, server_roles


def move(source: FarmPlace, target: FarmPlace) -> dict[str, int]:
    """Copy a farm from a file to an empty database, or from a server into a new file; the source stays.

    Returns:
        How many records of each table were moved, after all of them were read again and compared.

    Raises:
        Refused, FarmFileProblem: nothing is then left at the target.
    """
    with closing(farm_actions.open_farm(source, read_only=True)) as farm:
        return moving.move(farm.store, target)


def roles_script(address: ServerAddress) -> str:
    """Return the SQL that gives the groups of this farm their rights."""
    return server_roles.script(address.database)


def keep_password(address: ServerAddress, password: str) -> None:
    """Keep a password in the system's keyring; an empty one takes it out.

    Raises:
        Problem: when this computer has no keyring that can be used.
    """
    server_login.store_password(address, password)
