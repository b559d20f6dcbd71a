"""The one rule about where a number may come from, for crop and organism files alike."""

from bayround.crops.organisms import FileBasis
from bayround.crops.toml_table import TomlTable

FILE_BASES: tuple[FileBasis, ...] = ("published", "common practice", "memory")
NO_SOURCE = "common practice, no source"
FROM_MEMORY = "from memory"


def read_source(table: TomlTable, prefix: str = "") -> tuple[str, FileBasis]:
    """Source and basis of a table (keys `source` and `basis`, after `prefix`).

    Raises ValueError when the two contradict each other: common practice has no source and says so, a
    remembered source starts with "from memory", a published one with neither.
    """
    source = table.text(f"{prefix}source")
    basis = table.choice(f"{prefix}basis", FILE_BASES)
    claimed: FileBasis = "published"
    if source.startswith(NO_SOURCE):
        claimed = "common practice"
    elif source.startswith(FROM_MEMORY):
        claimed = "memory"
    if claimed != basis:
        raise table.fault(
            f"{prefix}basis",
            f'is "{basis}", but the source reads "{source}". Write "{NO_SOURCE}" for common practice, '
            f'start with "{FROM_MEMORY}" for memory, and name author, year and journal for published',
        )
    return source, basis
