"""`bayround season FILE --to OUT.xlsx`: the season report for the owner, a workbook or pages."""

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
from bayround.words import _


def add(commands: arguments.Commands, faces: Faces) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "season",
        _("write the season report"),
        _(
            "Write the report of a season for the owner, .xlsx or .pdf: what to replant, what is known, what\n"
            "is only suspected, with yields, money, partial budgets and trials. The farm file is only read.\n"
            "Without --year it is the newest year in which something was transplanted, as of today."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "--to", metavar="OUT.xlsx", required=True, type=_report, help=_("the file to write, .xlsx or .pdf")
    )
    parser.add_argument(
        "--year", metavar="YEAR", type=arguments.whole_number, help=_("year of transplanting")
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help=_("size of the paper"))
    parser.add_argument("--replace", action="store_true", help=_("write over an existing file"))
    parser.set_defaults(run=partial(run, faces))


def run(faces: Faces, chosen: argparse.Namespace) -> int:
    """Write the report and say what it holds."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import season_report, sheets

    refuse_to_write_over(chosen.to, chosen.replace)
    with closing(farm_actions.open_farm(chosen.file, read_only=True)) as farm:
        report = season_report.read(farm, date.today(), chosen.year)
    if chosen.to.suffix.casefold() == ".pdf":
        document = season_report.pages(report, sheets.PAPERS[chosen.paper])
        season_report.write_pages(document, chosen.to, faces.paint_pages)
    else:
        season_report.write_workbook(report, chosen.to)
    print(
        _("Wrote “{file}”: {farm}, season {year}.").format(
            file=chosen.to, farm=report.farm.name, year=report.year
        )
    )
    for text in report.findings.known:
        print(f"  {text}")
    return DONE


def _report(text: str) -> Path:
    path = arguments.path(text)
    if path.suffix.casefold() not in {".xlsx", ".pdf"}:
        raise argparse.ArgumentTypeError(_("the name of a season report ends in .xlsx or .pdf"))
    return path
