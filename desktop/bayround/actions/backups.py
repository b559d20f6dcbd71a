"""The backups of a farm file: what each holds, what restoring one would change, what can be saved without one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from bayround import places, words
from bayround.actions import conflict_words
from bayround.actions import farm as farm_actions
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import FarmFileProblem
from bayround.records import backup, check, held
from bayround.records import salvage as records_salvage
from bayround.words import _, counted


@dataclass(frozen=True, slots=True)
class BackupWords:
    """A backup as a person chooses it.

    Attributes:
        bays, visits, readings, corrections: how many it holds; nothing when it can't be read.
        last_round: the day of its newest round, in words.
    """

    path: Path
    made_at: datetime
    revision: int
    bays: int | None = None
    visits: int | None = None
    readings: int | None = None
    corrections: int | None = None
    last_round: str = ""

    @property
    def readable(self) -> bool:
        """Whether it could be read."""
        return self.bays is not None

    @property
    def made_text(self) -> str:
        """The moment in words."""
        return words.moment(self.made_at.astimezone())


@dataclass(frozen=True, slots=True)
class Offer:
    """What there is to do about a farm file that can't be opened.

    Attributes:
        backup: the newest good one; none when there is none.
        lines: what restoring it would change, or that this can't be told.
    """

    path: Path
    backup: BackupWords | None
    lines: tuple[str, ...]


def listed(farm_file: Path) -> tuple[BackupWords, ...]:
    """Return the backups of a farm file, newest first.

    Raises:
        FarmFileProblem: when their folder can't be read.
    """
    return tuple(_in_words(found) for found in backup.list_backups(places.backups_dir(farm_file)))


def _in_words(found: backup.Backup) -> BackupWords:
    try:
        inside = held.held(found.path)
    except FarmFileProblem:
        return BackupWords(found.path, found.made_at, found.revision)
    records = inside.records
    return BackupWords(
        found.path, found.made_at, inside.revision, records["bay"], records["visit"], records["reading"],
        records["correction"], words.day(inside.last_round),
    )  # fmt: skip


def preview(farm_file: Path, chosen: Path) -> tuple[str, ...]:
    """Say what restoring *chosen* would change in the farm file; nothing is changed.

    Raises:
        FarmFileProblem: when the backup is not sound.
    """
    if not backup.is_good(chosen):
        raise FarmFileProblem(
            _("The backup “{name}” is not sound.").format(name=chosen.name),
            _("Nothing was changed."),
            _("Choose an earlier one."),
        )
    told = "{line}"
    try:
        found = held.difference(farm_file, chosen)
    except FarmFileProblem:
        readable = _of_what_can_be_read(farm_file, chosen)
        if readable is None:
            return (
                _(
                    "What was saved after this backup would be missing. The file is too damaged to say how much."
                ),
            )
        found = readable
        told = _("What was saved after this backup would be missing. As far as it can still be read: {line}")
    lines = [
        *_counted(_("{table}: {n} would be missing"), found.missing),
        *_counted(_("{table}: {n} would come back"), found.back),
        *_counted(_("{table}: {n} would have the value of then"), found.other),
    ]
    if found.unknown:
        tables = words.listing([conflict_words.plural(table) for table in found.unknown])
        lines.append(_("{tables}: too damaged to tell").format(tables=tables))
    first, *others = lines or [_("Nothing: the farm file holds the same.")]
    return (told.format(line=first), *others)


def _of_what_can_be_read(damaged: Path, chosen: Path) -> held.Difference | None:
    """Compare a backup with what can be salvaged of a file that SQLite does not read any more."""
    with TemporaryDirectory() as aside:
        target = Path(aside) / damaged.name
        try:
            records_salvage.salvage(damaged, target)
            return held.difference(target, chosen)
        except FarmFileProblem:
            return None


def _counted(text: str, found: Mapping[str, int]) -> list[str]:
    return [text.format(table=conflict_words.plural(table), n=n) for table, n in found.items()]


def restore(farm_file: Path, chosen: Path) -> tuple[OpenFarm, str]:
    """Put a backup in the place of a farm file that is closed, and open that.

    The earlier file is kept aside, every backup stays where it is.

    Returns:
        The open farm, and in words where the earlier file is.

    Raises:
        FarmFileProblem: the farm file is then as it was.
    """
    aside = backup.restore(chosen, farm_file)
    told = (
        _("Restored. The file from before is “{name}”.").format(name=aside.name) if aside else _("Restored.")
    )
    return farm_actions.open_farm(farm_file), told


def offer(farm_file: Path) -> Offer | None:
    """Return what can be done about a farm file that could not be opened; nothing when it is sound itself."""
    if backup.is_good(farm_file):
        return None  # locked, newer, or not allowed: a backup would not help
    for found in backup.list_backups(places.backups_dir(farm_file)):
        if backup.is_good(found.path):
            return Offer(farm_file, _in_words(found), _missing(farm_file, found.path))
    return Offer(farm_file, None, ()) if check.is_farm_file(farm_file) else None


def _missing(farm_file: Path, chosen: Path) -> tuple[str, ...]:
    if not farm_file.is_file():
        return (_("What was saved after this backup would be missing."),)
    return preview(farm_file, chosen)


def salvage(damaged: Path, target: Path, chosen: Path | None = None) -> tuple[str, ...]:
    """Write a new farm file with what can be read of a damaged one, filled up from a backup; say what came of it.

    Raises:
        FarmFileProblem: nothing was written then; the damaged file is as it was in any case.
    """
    found = records_salvage.salvage(damaged, target, chosen)
    read = sum(found.read.values())
    lines = [counted("{n} record read from the damaged file", "{n} records read from the damaged file", read)]
    lines += _counted(_("{table}: {n} read"), found.read)
    lines += _counted(_("{table}: {n} taken from the backup"), found.from_backup)
    lines += _counted(_("{table}: {n} could not be kept"), found.dropped)
    lines += _counted(_("{table}: {n} known to be missing"), found.lost)
    if found.incomplete:
        parts = words.listing([conflict_words.plural(table) for table in found.incomplete])
        lines.append(_("The damage hides a part of: {tables}").format(tables=parts))
    return tuple(lines)


def free_name(damaged: Path) -> Path:
    """Return a name for a salvaged farm file beside the damaged one."""
    count = 1
    while True:
        number = "" if count == 1 else f" {count}"
        found = damaged.with_name(f"{damaged.stem} {_('salvaged')}{number}{damaged.suffix}")
        if not found.exists():
            return found
        count += 1
