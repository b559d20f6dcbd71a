"""`bayround import FILE THING`: what a file would bring, and letting it in; `--take-back N` takes it out again."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from contextlib import closing
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from bayround.cli import arguments, inside
from bayround.cli.guard import DONE, PROBLEM
from bayround.facts.problems import Problem
from bayround.words import _, counted

if TYPE_CHECKING:
    from bayround.actions.farm import OpenFarm
    from bayround.actions.imports.preview import Options, Preview
    from bayround.actions.jobs import Moment

KINDS = ("walk", "readings", "picks", "climate")
_MOST_LINES = 200


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "import",
        _("bring in filled walk sheets, spreadsheets, pick lists and climate records"),
        _(
            "Show what a file would bring into a farm, line by line: new, changed, there already, doubtful,\n"
            "refused and why. With --yes what is not refused comes in, all of that or nothing; filled walk sheets\n"
            "become drafts that are looked over under Visit. Without a second file the imports so far are\n"
            "listed, and --take-back takes one out again; the history keeps what it said."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "thing",
        metavar="THING",
        nargs="?",
        type=arguments.path,
        help=_("the file to bring in, .xlsx or .csv"),
    )
    parser.add_argument(
        "--yes", action="store_true", help=_("let in what is not refused; otherwise nothing is changed")
    )
    parser.add_argument(
        "--take-back", metavar="N", type=arguments.whole_number, help=_("take import number N out again")
    )
    _add_how_to_read(parser)
    parser.set_defaults(run=run, parser=parser)


def _add_how_to_read(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--kind", choices=KINDS, help=_("what the file holds (without it: as recognised)"))
    parser.add_argument("--sheet", metavar="NAME", default="", help=_("which sheet of a workbook"))
    parser.add_argument(
        "--column",
        metavar="N=WHAT",
        action="append",
        default=[],
        help=_("what column N (from 1) holds, like 3=kg"),
    )
    parser.add_argument("--day", metavar="DAY", type=_day, help=_("day of the walk, like 2026-11-25"))
    parser.add_argument("--scout", metavar="NAME", default="", help=_("who walked, or who brings it in"))
    parser.add_argument("--house", metavar="NAME", default="", help=_("house of a climate logger"))
    parser.add_argument(
        "--month-first", action="store_true", help=_("dates like 11/25/2026 have the month first")
    )
    parser.add_argument(
        "--explanation",
        metavar="TEXT",
        default="",
        help=_("why fruit was picked inside an interval; kept with it"),
    )
    parser.add_argument(
        "--doubtful", action="store_true", help=_("let doubtful picks and climate days in as well")
    )
    parser.add_argument(
        "--finish",
        action="store_true",
        help=_("finish visits read from a spreadsheet that hold nothing doubtful"),
    )


def run(chosen: argparse.Namespace) -> int:
    """Show, let in, list or take back."""
    from bayround.actions import farm as farm_actions

    writes = chosen.yes or chosen.take_back is not None
    with closing(farm_actions.open_farm(chosen.file, read_only=not writes)) as farm:
        if chosen.take_back is not None:
            if chosen.thing is not None:
                chosen.parser.error(_("a file is brought in or an import is taken back, not both"))
            return _back(farm, chosen)
        return _list(farm) if chosen.thing is None else _bring(farm, chosen)


def _bring(farm: OpenFarm, chosen: argparse.Namespace) -> int:
    from bayround.actions.imports import coming_back, preview_words

    moment = _moment(farm, chosen)
    options = _options(farm, chosen)
    preview = coming_back.look(farm, coming_back.open_file(chosen.thing), options, moment)
    _refuse_no_column(preview, options.columns or {})
    _show(preview)
    if preview.needs:
        print("\n".join(preview_words.asked(preview)))
        print(
            _(
                "Nothing was changed. Say it with --kind, --column (as in --column 3=kg), --day, --scout, --house."
            )
        )
        return PROBLEM
    if not preview.anything:
        print(_("There is nothing to bring in."))
        return _refused(preview) if chosen.yes else DONE
    if not chosen.yes:
        print(_("Nothing was changed: this is a preview. With --yes it comes in."))
        return DONE
    coming_back.bring_in(farm, preview, moment)
    number = coming_back.imports(farm)[0].number
    print(_("Brought in as import {n}; “--take-back {n}” takes it out again.").format(n=number))
    inside.tell(farm)
    return _refused(preview)


def _refused(preview: Preview) -> int:
    """Say how many lines were refused and stayed out; the exit code tells it too."""
    from bayround.actions.imports.preview import State

    refused = preview.count(State.REFUSED)
    if not refused:
        return DONE
    print(counted("{n} line was refused and stayed out; put it right and bring the file in again: nothing doubles.",
                  "{n} lines were refused and stayed out; put them right and bring the file in again: nothing doubles.",
                  refused), file=sys.stderr)  # fmt: skip
    return PROBLEM


def _refuse_no_column(preview: Preview, said: Mapping[int, str]) -> None:
    """Refuse what was said of a column that the file does not have."""
    there = {column.number: column.heading for column in preview.columns}
    if absent := sorted(set(said) - set(there)):
        raise Problem(
            _("The file has no column {n}.").format(n=absent[0]),
            _("Nothing was changed."),
            _("Its columns: {columns}.").format(
                columns=", ".join(f"{n} {heading}" for n, heading in there.items()) or _("none")
            ),
        )


def _show(preview: Preview) -> None:
    from bayround.actions.imports import preview_words
    from bayround.actions.imports.preview import State

    for column in preview.columns:
        print(f"  {column.number}: {column.heading} → {preview_words.label(column.holds)}")
    items = [item for item in preview.items if item.state is not State.SAME]
    for item in items[:_MOST_LINES]:
        print(f"{preview_words.state_word(item.state):9} {preview_words.item_line(item)}")
    if len(items) > _MOST_LINES:
        print(counted("… and {n} more line", "… and {n} more lines", len(items) - _MOST_LINES))
    if same := preview.count(State.SAME):
        print(counted("{n} line says what is kept already: no change.",
                      "{n} lines say what is kept already: no change.", same))  # fmt: skip
    for note in preview_words.remarks(preview):
        print(note)
    print(", ".join(preview_words.told(preview)))


def _list(farm: OpenFarm) -> int:
    from bayround.actions.imports import coming_back

    found = coming_back.imports(farm)
    for one in found:
        print(one.line)
    if not found:
        print(_("Nothing was brought in so far."))
    return DONE


def _back(farm: OpenFarm, chosen: argparse.Namespace) -> int:
    from bayround.actions.imports import coming_back, preview_words

    one, done = coming_back.back(farm, chosen.take_back, _moment(farm, chosen))
    print(preview_words.taken_back_words(one, done))
    return DONE


def _moment(farm: OpenFarm, chosen: argparse.Namespace) -> Moment:
    from bayround.actions.jobs import Moment

    return Moment(date.today(), datetime.now(UTC), _person(farm, chosen.scout))


def _person(farm: OpenFarm, name: str) -> str | None:
    from bayround.actions import setup

    if not name:
        return None
    found = [one.id for one in setup.read(farm).people if one.name.casefold() == name.casefold()]
    if len(found) != 1:
        raise Problem(_("Nobody here is called “{name}”.").format(name=name), _("Nothing was changed."))
    return found[0]


def _options(farm: OpenFarm, chosen: argparse.Namespace) -> Options:
    from bayround.actions import setup
    from bayround.actions.imports.preview import Kind, Options

    houses = {house.name.casefold(): house.id for house in setup.read(farm).houses}
    if chosen.house and chosen.house.casefold() not in houses:
        raise Problem(_("No house is called “{name}”.").format(name=chosen.house), _("Nothing was changed."))
    return Options(
        kind=Kind(chosen.kind) if chosen.kind else None,
        day=chosen.day,
        scout_id=_person(farm, chosen.scout),
        house_id=houses.get(chosen.house.casefold()),
        sheet=chosen.sheet,
        columns=dict(_column(text) for text in chosen.column) or None,
        month_first=True if chosen.month_first else None,
        explanation=chosen.explanation,
        doubtful=chosen.doubtful,
        finish=chosen.finish,
    )


def _column(text: str) -> tuple[int, str]:
    from bayround.actions.imports.matching import PARTS

    number, _equals, holds = text.partition("=")
    known = sorted({part for parts in PARTS.values() for part in parts})
    if not (number.isascii() and number.isdigit()) or holds not in ("", *known):
        raise Problem(
            _("“{text}” says nothing about a column.").format(text=text),
            _("Nothing was changed."),
            _("Write it like 3=kg. A column can hold: {known}.").format(known=", ".join(known)),
        )
    return int(number), holds


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            _("“{text}” is not a day; write it like 2026-11-25").format(text=text)
        ) from None
