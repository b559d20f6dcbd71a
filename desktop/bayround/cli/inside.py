"""`bayround inside FILE`: what was picked or worked inside an interval and is not explained; keep an explanation."""

from __future__ import annotations

import argparse
import sys
from contextlib import closing
from typing import TYPE_CHECKING

from bayround.cli import arguments, pick
from bayround.cli.guard import DONE, FOUND_SOMETHING
from bayround.facts.problems import Refused, Stopped
from bayround.words import _

if TYPE_CHECKING:
    from bayround.actions.farm import OpenFarm


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "inside",
        _("list what was picked or worked inside an interval and is not explained"),
        _(
            "List picks and work that lie inside a re-entry or pre-harvest interval as the records now tell, also of\n"
            "treatments written down afterwards. --explain N keeps why one is as it is (--although); otherwise put\n"
            "the record right. The product label, local rules and licensed or competent people decide."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument(
        "--explain",
        metavar="N",
        type=arguments.whole_number,
        help=_("the number in the list to keep an explanation of"),
    )
    arguments.add_why_all_the_same(parser)
    parser.add_argument("--by", metavar="NAME", help=_("who explains it"))
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the list, or keep one explanation."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import inside, setup
    from bayround.actions.jobs import Moment

    with closing(farm_actions.open_farm(chosen.file, read_only=chosen.explain is None)) as farm:
        found = inside.read(farm)
        if chosen.explain is None:
            for number, one in enumerate(found, start=1):
                print(f"{number}. {one.line}")
            if not found:
                print(_("Nothing lies inside an interval without an explanation."))
            return FOUND_SOMETHING if found else DONE
        if not 1 <= chosen.explain <= len(found):
            raise Refused(_("There is no number {n} in the list.").format(n=chosen.explain),
                          _("Nothing was written down."), _("“bayround inside FILE” prints it."))  # fmt: skip
        by = setup.person_named(setup.read(farm), chosen.by).id if chosen.by else None
        one = found[chosen.explain - 1]
        if not chosen.although.strip():
            raise Refused(_("An explanation needs a few words."), _("Nothing was written down."),
                          _("Give them with --although \"WHY\"."))  # fmt: skip
        inside.explain(farm, [one.inside], chosen.although, Moment(*pick.now(), by))
    print(_("Kept: {bay}, {what}.").format(bay=one.bay_name, what=one.inside.what))
    return DONE


def tell(farm: OpenFarm) -> None:
    """Say on standard error what lies inside an interval and is not explained, after a command changed a farm."""
    from bayround.actions import inside

    found = inside.read(farm)
    for line in inside.told(found):
        print(line, file=sys.stderr)
    if found:
        print(
            _('“bayround inside FILE” lists them; --explain N --although "WHY" keeps an explanation.'),
            file=sys.stderr,
        )


def with_option(stopped: Stopped) -> Refused:
    """Return the same refusal with the option that keeps it all the same."""
    return Stopped(
        stopped.message,
        stopped.kept,
        f"{stopped.to_do} " + _('On the command line: --although "WHY".'),
    )
