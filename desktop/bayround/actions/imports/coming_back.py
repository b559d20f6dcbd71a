"""Bring a file in: read it, look at what it would bring, let it in whole, take it back whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from bayround.actions import picks
from bayround.actions.farm import OpenFarm
from bayround.actions.imports import climate, matching, names, pick_list, plant_list, walk_book
from bayround.actions.imports.preview import Kind, Need, Options, Plan, Preview, latest
from bayround.actions.imports.preview_words import Import
from bayround.actions.imports.rows import rows_of, with_dated_times
from bayround.actions.imports.walks import Walks
from bayround.actions.jobs import Moment
from bayround.facts.ids import new_id
from bayround.facts.kept import ImportBatch, ImportLayout
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts
from bayround.paper.imports import headings, limits, reading, walk_answers
from bayround.paper.imports.grid import Book, Sheet
from bayround.paper.imports.headings import Table
from bayround.paper.imports.limits import Stopped
from bayround.paper.imports.xml_stream import Progress
from bayround.records import read_season, take_back, write_imports
from bayround.records.take_back import TakenBack
from bayround.words import _

__all__ = ["Book", "Stopped", "TakenBack", "back", "bring_in", "imports", "look", "open_file"]


def open_file(path: Path, progress: Progress | None = None) -> Book:
    """Read a file; the farm is not needed. Nothing of the file is run, worked out or followed.

    *progress* is told the share that is read and returns true when the person wants to stop.

    Raises:
        Stopped: then. Problem: whatever is wrong with the file, in words.
    """
    return reading.read(path, progress)


def look(
    farm: OpenFarm, book: Book, options: Options, moment: Moment, progress: Progress | None = None
) -> Preview:
    """Return what a file would bring; nothing is changed. *progress* as of `open_file`.

    Raises:
        Stopped: when the person wants to stop. Problem: when it is nothing that can come in.
    """
    season = read_season.read_season(farm.store)
    earlier = latest(write_imports.read_batches(farm.store), book.digest)
    if walk_answers.is_walk_book(book) and options.kind in (None, Kind.WALK):
        walks = Walks(season, farm.crops, moment.now)
        found = walk_book.plan(walk_answers.read(book), walks, options, moment)
        return _preview(Kind.WALK, book, found, season.farm.revision, earlier)
    return _look_at_table(farm, book, options, moment, season, earlier, progress)


def _look_at_table(
    farm: OpenFarm,
    book: Book,
    options: Options,
    moment: Moment,
    season: SeasonFacts,
    earlier: ImportBatch | None,
    progress: Progress | None,
) -> Preview:
    known = matching.vocabulary(farm.crops)
    table = _table(book, options, known)
    digest = matching.digest(table.headings)
    kept = write_imports.read_layout(farm.store, digest)
    recalled = matching.recall(kept)
    remembered = recalled is not None and options.columns is None and options.kind in (None, recalled.kind)
    chosen = _with(options, recalled) if recalled is not None and remembered else options
    kind = chosen.kind or matching.likely_kind(table.headings, known, chosen.columns)
    if kind is None or kind is Kind.WALK:
        guess = max(matching.PARTS, key=lambda one: len(matching.match(one, table.headings, known)))
        columns = matching.with_said(matching.match(guess, table.headings, known), chosen.columns)
        found = Plan(needs=[Need.KIND])
    else:
        guess = kind
        columns = matching.with_said(matching.match(kind, table.headings, known), chosen.columns)
        found = _plan(farm, kind, table, columns, chosen, moment, season, book.name, progress)
    preview = _preview(guess, book, found, season.farm.revision, earlier)
    all_columns = {heading.column: columns.get(heading.column, "") for heading in table.headings}
    return replace(
        preview,
        sheet=table.sheet.name,
        sheets=tuple(sheet.name for sheet in book.sheets if sheet.rows),
        columns=matching.columns_of(table, columns),
        month_first=bool(chosen.month_first),
        house_id=chosen.house_id,
        remembered=remembered,
        layout=_layout(guess, digest, all_columns, chosen, moment, kept),
    )


def _with(options: Options, recalled: Options) -> Options:
    """Return what the person said, and what was remembered where they said nothing."""
    return replace(
        options,
        kind=options.kind or recalled.kind,
        columns=recalled.columns,
        month_first=options.month_first if options.month_first is not None else recalled.month_first,
        house_id=options.house_id or recalled.house_id,
    )


def _table(book: Book, options: Options, known: matching.Vocabulary) -> Table:
    """Return the table that is understood best, of the sheet that was asked for or of all.

    Raises:
        Refused: when there is none.
    """
    sheets: tuple[Sheet, ...] = tuple(
        sheet for sheet in book.sheets if not options.sheet or sheet.name == options.sheet
    )
    if not sheets:
        raise Refused(_("The workbook has no sheet “{name}”.").format(name=options.sheet))

    def score(found: headings.Headings) -> int:
        return matching.understood(found, known)

    tables = [table for sheet in sheets if (table := headings.find(sheet, score)) is not None]
    if not tables:
        raise Refused(
            _("“{name}” holds no table.").format(name=book.name),
            _("Nothing was brought in."),
            _("A table has a row of headings, and rows of values below it."),
        )
    return with_dated_times(max(tables, key=lambda table: score(table.headings)))


def _plan(
    farm: OpenFarm,
    kind: Kind,
    table: Table,
    columns: Mapping[int, str],
    options: Options,
    moment: Moment,
    season: SeasonFacts,
    file_name: str,
    progress: Progress | None,
) -> Plan:
    lacking = matching.needed(kind, set(columns.values()))
    if lacking:
        wanted = _("No column holds: {what}.").format(what=", ".join(lacking))
        return Plan(needs=[Need.COLUMNS], notes=[wanted])
    rows, how = rows_of(table, columns, options.month_first)
    if how.unknown_units:
        wanted = _("The unit of “{heading}” is not known.").format(heading=how.unknown_units[0])
        return Plan(needs=[Need.COLUMNS], notes=[wanted])
    if kind is not Kind.CLIMATE and len(rows) > limits.ROWS_TO_LOOK_UP:
        raise limits.too_large(file_name, _("more than {n} rows").format(n=limits.ROWS_TO_LOOK_UP))
    places = names.places_of(season)
    if kind is Kind.CLIMATE:
        days = {(one.house_id, one.day): one for one in season.climate_days}
        found = climate.plan(rows, places, days, options, moment.today, file_name, progress)
    elif kind is Kind.PICKS:
        found = pick_list.plan(rows, places, lambda day: picks.read_day(farm, day), options, moment, progress)
    else:
        walks = Walks(season, farm.crops, moment.now)
        plant_list.plan(rows, places, walks, options, moment, progress)
        found = walks.found
    if how.day_order_open:
        found.notes.insert(0, _("Dates are read with the day first: 03/04/2026 is {day}.").format(
            day=_("3 April")))  # fmt: skip
    return found


def _layout(
    kind: Kind,
    digest: str,
    columns: Mapping[int, str],
    options: Options,
    moment: Moment,
    kept: ImportLayout | None,
) -> ImportLayout | None:
    """Return what is to be remembered of this layout; nothing when it is remembered so already."""
    said = matching.remember(kind, columns, options)
    if kept is not None and kept.matching == said:
        return None
    return ImportLayout(new_id(), digest, said, moment.now)


def _preview(kind: Kind, book: Book, found: Plan, revision: int, earlier: ImportBatch | None) -> Preview:
    return Preview(
        kind,
        book.name,
        book.digest,
        tuple(found.items),
        tuple(found.added),
        tuple(found.changes),
        revision,
        needs=tuple(dict.fromkeys(found.needs)),
        notes=tuple(found.notes),
        earlier=earlier,
    )


def bring_in(farm: OpenFarm, preview: Preview, moment: Moment) -> ImportBatch:
    """Let in what was looked at, all of it or nothing; how the columns were matched is remembered.

    Raises:
        Refused: when there is nothing to let in, or a record breaks a rule of its table.
        Overtaken: when the farm was changed since it was looked at.
    """
    if not preview.anything:
        raise Refused(
            _("There is nothing to bring in."),
            _("Nothing was changed."),
            _("The preview says why, line by line."),
        )
    batch = ImportBatch(
        new_id(), preview.kind.value, preview.file_name, preview.file_digest, moment.now, moment.person_id,
        len(preview.added) + len(preview.changes),
    )  # fmt: skip
    write_imports.bring_in(
        farm.store, batch, preview.added, preview.changes, preview.revision, preview.layout
    )
    return batch


def imports(farm: OpenFarm) -> tuple[Import, ...]:
    """Return all imports, the newest first."""
    from bayround.actions import setup

    people = {person.id: person.name for person in setup.read(farm).people}
    found = write_imports.read_batches(farm.store)
    return tuple(
        Import(len(found) - place, batch, people.get(batch.person_id or "", ""))
        for place, batch in enumerate(found)
    )


def back(farm: OpenFarm, number: int, moment: Moment) -> tuple[Import, TakenBack]:
    """Take an import back whole; what was done with it since stays, and the history keeps all it said.

    Raises:
        Refused: when there is no such import, or it was taken back already.
    """
    chosen = next((one for one in imports(farm) if one.number == number), None)
    if chosen is None:
        raise Refused(_("There is no import number {n}.").format(n=number), _("Nothing was changed."))
    return chosen, take_back.take_back(farm.store, chosen.batch.id, moment.person_id, moment.now)
