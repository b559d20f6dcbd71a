"""What can't be right about a treatment: refused in words before anything is written."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from bayround import words
from bayround.facts.moments import local_day
from bayround.facts.problems import Refused
from bayround.facts.work import Treatment
from bayround.jobs import intervals
from bayround.words import _

MOST_HOURS, MOST_DAYS = 2400.0, 365.0
"""No label carries longer intervals; a larger number is a slip."""
LONGEST = timedelta(hours=36)
"""No treatment goes on for longer; a longer one is a slip in one of its times (common practice, no source)."""


def refuse_impossible(treatment: Treatment, now: datetime) -> None:
    """Refuse a treatment that names nothing, ends before it began or in the future, or has endless intervals.

    Raises:
        Refused: with what to do.
    """
    if not (treatment.active_ingredient.strip() or treatment.product.strip()):
        raise Refused(
            _("It is not said what was applied."),
            to_do=_("Write the active ingredient (or the organism released) as the label names it."),
        )
    began = treatment.started_at
    if began is not None and not timedelta(0) <= treatment.ended_at - began <= LONGEST:
        raise Refused(
            _("A treatment ends after it began, within {hours} hours.").format(
                hours=words.number(LONGEST / timedelta(hours=1), 0)
            ),
            to_do=_("Look at both times again; write two treatments down when it was done on two days."),
        )
    if treatment.ended_at > now + timedelta(minutes=1):
        raise Refused(
            _("{moment} is still to come.").format(moment=intervals.moment_text(treatment.ended_at)),
            to_do=_("Write a treatment down when it has ended: its intervals run from then."),
        )
    for name, value, most, unit in (
        (_("The re-entry interval"), treatment.re_entry_hours, MOST_HOURS, _("hours")),
        (_("The pre-harvest interval"), treatment.pre_harvest_days, MOST_DAYS, _("days")),
    ):
        if value is not None and not 0 <= value <= most:
            raise Refused(
                _("{name} lies between 0 and {most} {unit}.").format(
                    name=name, most=words.number(most, 0), unit=unit
                ),
                to_do=_("Type it as the label gives it; leave it empty while you don't know it."),
            )


def doubt_of_night(treatment: Treatment) -> list[str]:
    """Ask whether a treatment really went on over midnight: swapped times would let people in too early."""
    began, ended = treatment.started_at, treatment.ended_at
    if began is None or local_day(began) == local_day(ended):
        return []
    ask = _(
        "It began at {began} and ended at {ended}, {hours} hours later. Is that right, or are the times swapped? "
        "Intervals run from the end."
    )
    hours = words.number((ended - began) / timedelta(hours=1), 1)
    return [ask.format(began=intervals.moment_text(began), ended=intervals.moment_text(ended), hours=hours)]


def tidied(treatment: Treatment) -> Treatment:
    """Return a treatment without blanks around its texts."""
    texts = ("target", "active_ingredient", "mode_of_action_group", "product", "registration_number", "note")
    return replace(treatment, **{name: getattr(treatment, name).strip() for name in texts})
