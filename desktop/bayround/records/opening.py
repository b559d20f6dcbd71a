"""A farm is opened wherever it is kept: in a file, or on a server."""

from __future__ import annotations

from bayround.facts.server_address import FarmPlace, ServerAddress
from bayround.records import farm_file
from bayround.records.store import Store


def open_place(place: FarmPlace, *, read_only: bool = False) -> Store:
    """Open a farm.

    Raises:
        FarmFileProblem: as `farm_file.open_farm` and `server.open_server_farm`.
    """
    if isinstance(place, ServerAddress):
        from bayround.records.server import open_server_farm  # psycopg is imported for such an address only

        return open_server_farm(place, read_only=read_only)
    return farm_file.open_farm(place, read_only=read_only)
