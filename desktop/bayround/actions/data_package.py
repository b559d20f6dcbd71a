"""The whole farm as a data package, and a farm file made from one."""

from __future__ import annotations

from pathlib import Path

from bayround.actions import check, file_names
from bayround.actions.farm import OpenFarm
from bayround.crops import load_crops
from bayround.facts.problems import Problem, Refused
from bayround.paper.data_package import reading, writing
from bayround.paper.data_package.values import FactTable
from bayround.records import whole_farm
from bayround.records.store import Store
from bayround.words import _

__all__ = ["default_name", "package", "rebuild"]


def package(farm: OpenFarm, path: Path) -> Path:
    """Write every table of a farm as CSV, with a description, into one zip file; the same farm, the same bytes.

    Raises:
        Problem: the folder is missing or read-only, the disk is full; an earlier file is as it was.
    """
    facts = whole_farm.read_whole(farm.store)
    tables = [FactTable(name, kind, facts[name]) for name, kind in whole_farm.KINDS_BY_TABLE.items()]
    (info,) = facts["farm"]
    return writing.write(path, info, tables, whole_farm.SCHEMA_VERSION, load_crops())


def rebuild(source: Path, path: Path) -> int:
    """Make a farm file from a data package; it gets its name only when it is sound. Return how many facts it holds.

    Raises:
        Problem: the package is damaged, of another version, or breaks a rule; no farm is made then.
        FarmFileProblem: there is such a file already, or it can't be made there.
    """
    tables = reading.read(source, whole_farm.KINDS_BY_TABLE, whole_farm.SCHEMA_VERSION)
    facts = {table.name: table.facts for table in tables}
    if len(facts["farm"]) != 1:
        raise Problem(_("“{name}” is not of one farm.").format(name=source.name), _("No farm was made."))
    try:
        whole_farm.make(path, facts, _found)
    except Refused as refused:
        raise Problem(
            _("“{name}” breaks a rule of the tables: {why}").format(name=source.name, why=refused.message),
            _("No farm was made."),
        ) from refused
    return sum(len(found) for found in facts.values())


def default_name(farm: OpenFarm) -> str:
    """Return ``<farm> data package.zip``, without signs that Windows, macOS or Linux refuse in a name."""
    return file_names.safe(_("{farm} data package").format(farm=farm.info.name), ".zip")


def _found(store: Store) -> tuple[str, ...]:
    return check.of_store(store)
