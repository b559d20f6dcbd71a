"""Merge the farm files of several laptops: look first, back up first, then all of it or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bayround import places
from bayround.actions import conflict_words
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.crops import load_crops
from bayround.records import backup, farm_file, merge, placing
from bayround.records.merge import Outcome
from bayround.words import _, counted


@dataclass(frozen=True, slots=True)
class MergeReport:
    """What a merge brings or brought, in words.

    Attributes:
        lines: what is added and changed.
        conflicts: the fields on which the files do not agree; a person decides each.
        doubled: what may have been keyed in twice; all of it is kept.
        anything: whether anything changes.
        backup: the copy made before it; none for a preview, and when nothing changed.
    """

    lines: tuple[str, ...]
    conflicts: tuple[conflict_words.ConflictWords, ...]
    doubled: tuple[str, ...]
    anything: bool
    backup: Path | None = None


def preview(farm: OpenFarm, others: Sequence[Path]) -> MergeReport:
    """Return what merging *others* into the open farm would bring; nothing is changed.

    Raises:
        FarmFileProblem: when a file is not sound, or of another farm.
    """
    return _report(farm, merge.preview(farm.store, others), None)


def merge_into(farm: OpenFarm, others: Sequence[Path], now: datetime) -> MergeReport:
    """Merge *others* into the open farm: a verified backup first, then one transaction.

    Raises:
        FarmFileProblem, Refused: the farm is then as it was.
    """
    if not merge.preview(farm.store, others).anything:
        return _report(farm, merge.preview(farm.store, others), None)
    kept = farm_actions.back_up(farm, places.backups_dir(farm.path), now)
    return _report(farm, merge.merge(farm.store, others), kept)


def merge_to(files: Sequence[Path], target: Path) -> MergeReport:
    """Merge farm files into a new one, *target*; the files stay as they are.

    Raises:
        FarmFileProblem: when *target* is there already, or a file is not sound, or of another farm.
    """
    target = target.resolve()
    unfinished = placing.unfinished(target.parent)
    try:
        backup.copy_sound(files[0], unfinished)
        with closing(OpenFarm(farm_file.open_farm(unfinished), load_crops())) as farm:
            outcome = merge.merge(farm.store, files[1:])
            report = _report(farm, outcome, None)
        backup.give_name(unfinished, target)
    finally:
        placing.discard(unfinished)
        placing.discard_folder(places.backups_dir(unfinished))
    return report


def _report(farm: OpenFarm, outcome: Outcome, kept: Path | None) -> MergeReport:
    lines = [
        _("{table}: {n} added").format(table=conflict_words.plural(table), n=n)
        for table, n in outcome.added.items()
    ]
    lines += [
        _("{table}: {n} changed").format(table=conflict_words.plural(table), n=n)
        for table, n in outcome.changed.items()
    ]
    if outcome.corrections:
        lines.append(counted("{n} correction joins the history", "{n} corrections join the history",
                             outcome.corrections))  # fmt: skip
    if not outcome.anything:
        lines = [_("Nothing new: everything in the other files is here already.")]
    doubled = [
        _("{table}: {n} look like the same thing, keyed in twice. All are kept; look at them.").format(
            table=conflict_words.plural(each.table_name), n=len(each.row_ids)
        )
        for each in outcome.doubled
    ]
    worded = conflict_words.of(farm, outcome.conflicts)
    return MergeReport(tuple(lines), worded, tuple(doubled), outcome.anything, kept)
