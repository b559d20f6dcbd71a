"""`bayround merge A B …`: the farm files of several laptops become one."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from bayround.cli import arguments, inside
from bayround.cli.guard import DONE
from bayround.words import _, counted

if TYPE_CHECKING:
    from bayround.actions.merge import MergeReport


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "merge",
        _("merge the farm files of several laptops"),
        _(
            "Merge farm files that are copies of one farm. Without --to, the first file takes in the others\n"
            "(a verified backup is made first); they stay as they are. Records are joined by key, values\n"
            "field by field. Where two laptops changed the same field, both values are kept and listed: a\n"
            "person decides. Merging again, or in another order, leads to the same farm."
        ),
    )
    parser.add_argument(
        "files", metavar="FILE", nargs="+", type=arguments.path, help=_("the farm files, two or more")
    )
    parser.add_argument(
        "--to", metavar="FILE", type=arguments.path, help=_("write a new farm file and leave all as they are")
    )
    parser.add_argument(
        "--preview", action="store_true", help=_("only say what the merge would bring; change nothing")
    )
    parser.set_defaults(run=run, parser=parser)


def run(chosen: argparse.Namespace) -> int:
    """Merge and print what came of it."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import merge

    if len(chosen.files) < 2:
        chosen.parser.error(_("at least two farm files are needed"))
    if chosen.to and not chosen.preview:
        print_report(merge.merge_to(chosen.files, chosen.to))
        with closing(farm_actions.open_farm(chosen.to, read_only=True)) as farm:
            inside.tell(farm)
        print(_("Merged into “{file}”.").format(file=chosen.to))
        return DONE
    first, *others = chosen.files
    with closing(farm_actions.open_farm(first, read_only=chosen.preview)) as farm:
        if chosen.preview:
            print_report(merge.preview(farm, others))
            print(_("Nothing was changed: this is a preview."))
            return DONE
        report = merge.merge_into(farm, others, datetime.now(UTC))
        inside.tell(farm)
    print_report(report)
    if report.backup:
        print(_("Merged into “{file}”; the farm from before is “{backup}”.").format(
            file=first, backup=report.backup))  # fmt: skip
    return DONE


def print_report(report: MergeReport) -> None:
    """Print what a merge brings."""
    for line in report.lines:
        print(line)
    if report.conflicts:
        count = len(report.conflicts)
        print(counted("{n} field to decide (the first value is shown until then):",
                      "{n} fields to decide (the first value is shown until then):", count))  # fmt: skip
    for conflict in report.conflicts:
        print(f"  {conflict.line}")
    for line in report.doubled:
        print(line)
