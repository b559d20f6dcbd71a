"""Readable records out of a damaged farm file, into a new one. The damaged file is only copied.

A damaged page hides the records on it, not those on the other pages: what SQLite can't reach is read page by
page without it (`pages`, cf. its own shell's ``.recover``). What the damage hides may come from a
backup; the keys say what is the same. The index of a table's keys says what else there was.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from sqlalchemy import Date

from bayround.facts.ids import LENGTHS
from bayround.facts.problems import FarmFileProblem
from bayround.records import pages, placing, problems, tables
from bayround.records.backup import copy_sound, give_name
from bayround.records.check import UNREADABLE, address, damage, wrong_values
from bayround.records.columns import UtcDateTime
from bayround.records.farm_file import create_farm
from bayround.records.history import REMOVED
from bayround.records.reading_damage import Salvaged, take_from
from bayround.words import _

_NO_NAME = "?"
_CUT_TO_AT_LEAST = 100  # times longer than this a file was not; its first page is not to be believed then


def salvage(damaged: Path, target: Path, backup: Path | None = None) -> Salvaged:
    """Write a new farm file, *target*, with every readable record of *damaged*; fill up from *backup*.

    Raises:
        FarmFileProblem: when there is no such file, nothing in it can be read, *target* is there
            already, the backup is not sound, or the disk refuses. Nothing is left half-made.
    """
    damaged, target = damaged.resolve(), target.resolve()
    if not damaged.is_file():
        raise problems.not_there(damaged)
    if target.exists():
        raise problems.already_there(target)
    with problems.disk_in_words(target):
        names = [placing.unfinished(target.parent) for _file in range(3)]
        try:
            return _salvage(damaged, target, backup, *names)
        finally:
            for name in names:
                placing.discard(name)


def _salvage(
    damaged: Path, target: Path, backup: Path | None, copy: Path, spare: Path, new: Path
) -> Salvaged:
    _copy_with_journal(damaged, copy)
    _fill_up(copy)
    if backup is not None:
        copy_sound(backup, spare)
        _lend_first_pages(spare, copy)
    found = Salvaged()
    create_farm(new, _NO_NAME).close()
    with closing(sqlite3.connect(address(new, "rw"), uri=True, isolation_level=None)) as filled:
        filled.execute("PRAGMA foreign_keys = OFF")
        filled.execute("BEGIN IMMEDIATE")
        filled.execute("DELETE FROM farm")
        found.read = take_from(copy, filled, found)
        if backup is not None:
            found.from_backup = take_from(spare, filled, Salvaged(), _taken_out_since(spare, filled))
        _drop_what_is_no_record(filled, found)
        people = _stand_in_for_lost_people(filled)
        _drop_what_refers_to_nothing(filled, found)
        _count_lost(filled, found)
        if people:
            found.lost["person"] = found.lost.get("person", 0) + people
        _farm_record(filled, damaged, found)
        filled.execute("COMMIT")
        if left := damage(filled, at_most=1):
            raise FarmFileProblem(_("What was read does not make a farm: {why}").format(why=left[0]))
    give_name(new, target)
    return found


def _copy_with_journal(damaged: Path, copy: Path) -> None:
    """What a crash left half-done is undone in the copy, if SQLite still can."""
    for ending in ("", *placing.SIDE_FILES):
        side = damaged.with_name(damaged.name + ending)
        if side.exists():
            shutil.copyfile(side, copy.with_name(copy.name + ending))
    with suppress(*UNREADABLE), closing(sqlite3.connect(address(copy, "rw"), uri=True)) as connection:
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()


def _fill_up(copy: Path) -> None:
    """A file that was cut off gets empty pages for those it no longer has: SQLite would read none of the others."""
    with copy.open("rb+") as stream:
        head = stream.read(pages.HEAD)
        size, claimed = pages.page_size(head), int.from_bytes(head[pages.PAGES], "big")
        there = copy.stat().st_size
        if there < size * claimed <= _CUT_TO_AT_LEAST * there:
            stream.truncate(size * claimed)


def _lend_first_pages(backup: Path, copy: Path) -> None:
    """The first page says where each table begins; a backup, copied page by page, says the same.

    One from before an upgrade says it of other tables: it lends nothing, pages then say by themselves what they hold.
    """
    with suppress(*UNREADABLE), closing(sqlite3.connect(address(copy, "ro"), uri=True)) as connection:
        if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            return
    lent = pages.PageFile(backup)
    with closing(sqlite3.connect(address(backup, "ro"), uri=True)) as connection:
        at = connection.execute(
            "SELECT rootpage FROM sqlite_schema WHERE name = ?", (tables.version_table.name,)
        ).fetchone()
    if at is None or lent.page(at[0]) != pages.PageFile(copy).page(at[0]):
        return
    tree = lent.tree(1)
    with copy.open("rb+") as stream:
        for number in sorted((*tree.inside, *tree.leaves)):
            page = bytearray(lent.page(number))
            if number == 1:
                there = max(copy.stat().st_size // lent.size, max(tree.leaves))
                page[pages.PAGES], page[pages.FREE_PAGES] = (
                    there.to_bytes(4, "big"),
                    bytes(8),
                )  # none are known
            stream.seek((number - 1) * lent.size)
            stream.write(page)


def _taken_out_since(backup: Path, filled: sqlite3.Connection) -> set[str]:
    """Return the keys of records that were taken out after the backup was made: they are not to come back."""
    with closing(sqlite3.connect(address(backup, "ro"), uri=True)) as earlier:
        known = {key for (key,) in earlier.execute("SELECT id FROM correction")}
    removed = filled.execute("SELECT id, row_id FROM correction WHERE field = ?", (REMOVED,))
    return {row_id for key, row_id in removed if key not in known}


def _drop_what_is_no_record(filled: sqlite3.Connection, found: Salvaged) -> None:
    """What a damaged page passes off as a record has no key, values of a wrong type, or days that are none."""
    for table in tables.metadata.sorted_tables:
        wrong = [f"length(id) NOT IN {LENGTHS}", *wrong_values(table)]
        times = [column.name for column in table.c if isinstance(column.type, Date | UtcDateTime)]
        wrong += [f'("{name}" IS NOT NULL AND julianday("{name}") IS NULL)' for name in times]
        dropped = filled.execute(f'DELETE FROM "{table.name}" WHERE {" OR ".join(wrong)}').rowcount
        if dropped:
            found.dropped[table.name] = found.dropped.get(table.name, 0) + dropped


def _stand_in_for_lost_people(filled: sqlite3.Connection) -> int:
    """Put somebody without a name in the place of each person that is lost, and return how many.

    All people stand on one page, and whole seasons refer to them: who it was can be typed in again, the rest can't.
    """
    lost: set[str] = set()
    for table in tables.metadata.sorted_tables:
        for key in table.foreign_keys:
            if key.column.table is tables.person:
                column, known = f'"{key.parent.name}"', "SELECT id FROM person"
                missing = f"length({column}) IN {LENGTHS} AND {column} NOT IN ({known})"
                asked = filled.execute(f'SELECT {column} FROM "{table.name}" WHERE {missing}')
                lost |= {who for (who,) in asked}
    filled.executemany(
        "INSERT INTO person (id, name, role, active) VALUES (?, ?, 'scout', 1)",
        [(who, f"{_NO_NAME} {number}") for number, who in enumerate(sorted(lost), 1)],
    )
    return len(lost)


def _drop_what_refers_to_nothing(filled: sqlite3.Connection, found: Salvaged) -> None:
    while lost := filled.execute("PRAGMA foreign_key_check").fetchall():
        for table, rowid in {(row[0], row[1]) for row in lost}:
            filled.execute(f'DELETE FROM "{table}" WHERE rowid = ?', (rowid,))
            found.dropped[table] = found.dropped.get(table, 0) + 1


def _count_lost(filled: sqlite3.Connection, found: Salvaged) -> None:
    """What the index of a table's keys still tells of, and is not here; a table of which nothing is lost is whole."""
    for name, (keys, all_known) in found.known.items():
        here = {key for (key,) in filled.execute(f'SELECT id FROM "{name}"')}
        if lost := keys - here:
            found.lost[name] = len(lost)
        elif all_known:
            found.incomplete.remove(name)


def _farm_record(filled: sqlite3.Connection, damaged: Path, found: Salvaged) -> None:
    """The farm's own record, which only one table of one line holds, may be what was lost."""
    records = sum(n for name, n in (*found.read.items(), *found.from_backup.items()) if name != "farm")
    if not records:
        raise FarmFileProblem(
            _("Nothing in “{name}” can be read.").format(name=damaged.name),
            _("The file was left as it is."),
            _("Restore a backup; keep the damaged file for somebody who can look at it."),
        )
    if not filled.execute("SELECT count(*) FROM farm").fetchone()[0]:
        from bayround.facts.ids import new_id

        filled.execute(
            "INSERT INTO farm (id, name, invented, currency, revision) VALUES (?, ?, 0, '', 0)",
            (new_id(), damaged.stem),
        )
    filled.execute("UPDATE farm SET revision = revision + 1")
