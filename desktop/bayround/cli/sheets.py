"""`bayround sheets FILE --to OUT.pdf`: walk sheets for the scout, job sheets for the crew."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import date
from functools import partial
from pathlib import Path

from bayround.cli import arguments
from bayround.cli.faces import Faces
from bayround.cli.guard import DONE
from bayround.cli.week import refuse_to_write_over
from bayround.words import _, counted


def add(commands: arguments.Commands, faces: Faces) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "sheets",
        _("write walk sheets or job sheets to print"),
        _(
            "Write the walk sheets of a week (.pdf to print, .xlsx to fill in on a tablet), or with\n"
            "--jobs the job sheets by person and day (.pdf). The farm file is only read. Without --week walk\n"
            "sheets are for the week to walk next, job sheets for this week, as of today."
        ),
    )
    arguments.add_farm_file(parser)
    arguments.add_week(parser, _("the week to walk next; with --jobs this week"))
    parser.add_argument(
        "--to", metavar="OUT.pdf", required=True, type=_sheet, help=_("the file to write, .pdf or .xlsx")
    )
    parser.add_argument("--jobs", action="store_true", help=_("job sheets in place of walk sheets"))
    parser.add_argument(
        "--for",
        dest="people",
        metavar="NAME",
        action="append",
        help=_("with --jobs: only this person's sheets; may be given more than once"),
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help=_("size of the paper"))
    parser.add_argument("--replace", action="store_true", help=_("write over an existing file"))
    parser.set_defaults(run=partial(run, faces, parser))


def run(faces: Faces, parser: argparse.ArgumentParser, chosen: argparse.Namespace) -> int:
    """Write the sheets and say how many pages there are."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import sheets, walk_book

    if chosen.jobs and chosen.to.suffix.casefold() == ".xlsx":
        parser.error(_("job sheets are written as .pdf"))
    if chosen.people and not chosen.jobs:
        parser.error(_("--for goes with --jobs"))
    refuse_to_write_over(chosen.to, chosen.replace)
    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        if chosen.to.suffix.casefold() == ".xlsx":
            bays = walk_book.write(farm, chosen.to, chosen.week, date.today())
            print(counted("Wrote {n} bay to", "Wrote {n} bays to", bays) + f" “{chosen.to}”.")
            return DONE
        paper = sheets.PAPERS[chosen.paper]
        if chosen.jobs:
            document = sheets.job_sheets(farm, chosen.week, date.today(), paper, chosen.people)
        else:
            document = sheets.walk_sheets(farm, chosen.week, date.today(), paper)
    sheets.write_pages(document, chosen.to, faces.paint_pages)
    print(counted("Wrote {n} page to", "Wrote {n} pages to", len(document.pages)) + f" “{chosen.to}”.")
    return DONE


def _sheet(text: str) -> Path:
    path = arguments.path(text)
    if path.suffix.casefold() not in {".pdf", ".xlsx"}:
        raise argparse.ArgumentTypeError(_("the name of a sheet ends in .pdf or .xlsx"))
    return path
