"""`bayround pick FILE BAY KG`: write a pick down; one inside an interval is refused without an explanation."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import UTC, date, datetime

from bayround import words
from bayround.cli import arguments
from bayround.cli.guard import DONE
from bayround.facts.problems import Stopped, TwiceTheSame
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
    parser.add_argument(
        "--again",
        action="store_true",
        help=_("keep it although the same pick is written down already: there were two"),
    )
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
    from bayround.cli import inside

    moment = Moment(*now())
    day = chosen.on or moment.today
    with closing(farm_actions.open_farm(chosen.file)) as farm:
        known = setup.read(farm)
        bay = setup.bay_named(known, chosen.bay, day)
        by = setup.person_named(known, chosen.by).id if chosen.by else None
        line = next((one for one in picks.read_day(farm, day).lines if one.bay_id == bay.id), None)
        colour = chosen.colour or (line.usual_colour if line is not None else "")
        entry = PickEntry(chosen.kg, chosen.fruit, chosen.grade, colour)
        if line is not None and not chosen.although.strip():
            _refuse_doubt_of_start(picks.doubt_of_start(line, day, chosen.began))
        try:
            (made,) = picks.record(
                farm, day, bay.id, [entry], moment, picked_by_id=by, began=chosen.began,
                explanation=chosen.although, again=chosen.again,
            )  # fmt: skip
        except Stopped as stopped:
            raise inside.with_option(stopped) from stopped
        except TwiceTheSame as twice:
            to_do = _(
                "If there were two picks alike, type it again with --again: it is kept beside the first."
            )
            raise TwiceTheSame(twice.message, twice.kept, to_do) from twice
        inside.tell(farm)
    kept = _("Kept: {bay}, {day}, {kg} kg.")
    print(kept.format(bay=bay.name, day=words.day(day), kg=words.number(made.kg, 1)))
    if made.note:
        print(made.note)
    return DONE


def _refuse_doubt_of_start(doubts: list[str]) -> None:
    if doubts:
        raise Stopped("\n".join(doubts), _("Nothing was written down."),
                      _("If it was, type it again with --although \"over at\" and the time; that is kept."))  # fmt: skip
