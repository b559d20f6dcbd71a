"""Hours a job will take: labour norm × amount, as a figure that says so."""

from __future__ import annotations

from bayround import words
from bayround.crops.profile import SourcedNumber
from bayround.figures.figure import Figure, Why
from bayround.words import _


def by_norm(norm: SourcedNumber, amount: float, per: float, amount_text: str) -> Figure:
    """Return hours = *norm* × *amount* ÷ *per* (a norm of 4.5 h per 1,000 stems has *per* 1,000)."""
    inputs = (
        (_("Labour norm"), f"{norm.value:g} {norm.unit}"),
        (_("Amount"), amount_text),
    )
    rule = _("Labour norm × amount. A first guess until the farm's own finished jobs say better.")
    return _hours(norm.value * amount / per, Why(rule, inputs, norm.source, norm.basis))


def by_rate(rate: SourcedNumber, amount: float, amount_text: str) -> Figure:
    """Return hours = *amount* ÷ *rate* (a rate of 100 kg/h)."""
    inputs = ((_("Rate"), f"{rate.value:g} {rate.unit}"), (_("Amount"), amount_text))
    return _hours(amount / rate.value, Why(_("Amount ÷ rate."), inputs, rate.source, rate.basis))


def unknown(reason: str) -> Figure:
    """Return hours that can't be estimated, with the reason."""
    return Figure("hours", _("Hours"), None, _("h"), 1, Why(_("Labour norm × amount.")), missing=reason)


def total(jobs_hours: list[Figure]) -> Figure:
    """Return the sum of hours that are known, from their exact values."""
    known = [hours.value for hours in jobs_hours if hours.value is not None]
    left_out = len(jobs_hours) - len(known)
    inputs = ((_("Jobs added"), str(len(known))), (_("Jobs without an estimate"), str(left_out)))
    why = Why(_("Sum of the estimated hours."), inputs)
    return Figure("hours_due", _("Hours of work due"), sum(known), _("h"), 1, why, n=len(known))


def _hours(value: float, why: Why) -> Figure:
    return Figure("hours", _("Hours"), value, _("h"), 1, why)


def plants_text(plants: int) -> str:
    """Return ``2300 plants``."""
    return words.counted("{n} plant", "{n} plants", plants)
