"""`bayround pick FILE BAY KG`: write a pick down; one inside an interval is refused without an explanation."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import UTC, date, datetime

from bayround import words
from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.words import _


def add(commands: arguments.Commands) -> None:
    """Add the command."""
    parser = arguments.command(
        commands,
        "pick",
        _("write down what was picked in a bay"),
        _(
            "Write down what was picked in one bay on one day. A pick inside a re-entry or pre-harvest interval,\n"
            "in a house that nobody may enter, or after a treatment whose interval is not known is refused; the\n"
            "product label and local rules decide. If it was picked all the same, --although keeps why."
        ),
    )
    arguments.add_farm_file(parser)
    parser.add_argument("bay", metavar="BAY", help=_("the bay, like “South net house · S1” or “S1”"))
    parser.add_argument("kg", metavar="KG", type=arguments.amount, help=_("kilograms"))
    parser.add_argument(
        "--fruit", metavar="N", type=arguments.whole_number, help=_("how many fruit, when they were counted")
    )
    parser.add_argument("--grade", default="", help=_("grade, as the farm calls it"))
    parser.add_argument("--colour", default="", help=_("colour; without it the bay's usual one"))
    parser.add_argument("--on", metavar="DAY", type=arguments.day, help=_("the day (without it: today)"))
    parser.add_argument(
        "--began",
        metavar="TIME",
        type=arguments.clock_time,
        help=_("when picking began; without it the whole day has to be free of intervals"),
    )
    parser.add_argument("--by", metavar="NAME", help=_("who picked"))
    arguments.add_why_all_the_same(parser)
    parser.set_defaults(run=run)


def now() -> tuple[date, datetime]:
    """Return today and this moment."""
    return date.today(), datetime.now(UTC)


def run(chosen: argparse.Namespace) -> int:
    """Write the pick down."""
    from bayround.actions import farm as farm_actions
    from bayround.actions import picks, setup
    from bayround.actions.jobs import Moment
    from bayround.actions.pick_lines import PickEntry

    moment = Moment(*now())
    day = chosen.on or moment.today
    with closing(farm_actions.open_farm(chosen.file)) as farm:
        known = setup.read(farm)
        bay = setup.bay_named(known, chosen.bay, day)
        by = setup.person_named(known, chosen.by).id if chosen.by else None
        usual = [line.usual_colour for line in picks.read_day(farm, day).lines if line.bay_id == bay.id]
        colour = chosen.colour or next(iter(usual), "")
        entry = PickEntry(chosen.kg, chosen.fruit, chosen.grade, colour)
        (made,) = picks.record(
            farm,
            day,
            bay.id,
            [entry],
            moment,
            picked_by_id=by,
            began=chosen.began,
            explanation=chosen.although,
        )
    kept = _("Kept: {bay}, {day}, {kg} kg.")
    print(kept.format(bay=bay.name, day=words.day(day), kg=words.number(made.kg, 1)))
    if made.note:
        print(made.note)
    return DONE
