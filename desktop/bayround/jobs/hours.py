"""Hours a job will take: labour norm × amount, as a figure that says so."""

from __future__ import annotations

from dataclasses import replace

from bayround import words
from bayround.crops.profile import SourcedNumber
from bayround.figures.figure import Figure, Why
from bayround.figures.labour import OwnRate
from bayround.words import _


def by_norm(
    norm: SourcedNumber, amount: float, per: float, amount_text: str, own: OwnRate | None = None
) -> Figure:
    """Return hours = *norm* × *amount* ÷ *per* (a norm of 4.5 h per 1,000 stems has *per* 1,000).

    *own* is what the farm's finished jobs of this kind say beside the norm.
    """
    inputs = (
        (_("Labour norm"), f"{norm.value:g} {norm.unit}"),
        (_("Amount"), amount_text),
    )
    rule = _("Labour norm × amount. A first guess until the farm's own finished jobs say better.")
    return _estimate(norm.value * amount / per, Why(rule, inputs, norm.source, norm.basis), own)


def by_rate(rate: SourcedNumber, amount: float, amount_text: str, own: OwnRate | None = None) -> Figure:
    """Return hours = *amount* ÷ *rate* (a rate of 100 kg/h), with what the farm's finished jobs say beside it."""
    inputs = ((_("Rate"), f"{rate.value:g} {rate.unit}"), (_("Amount"), amount_text))
    return _estimate(amount / rate.value, Why(_("Amount ÷ rate."), inputs, rate.source, rate.basis), own)


def unknown(reason: str) -> Figure:
    """Return hours that can't be estimated, with the reason."""
    return Figure("hours", _("Hours"), None, _("h"), 1, Why(_("Labour norm × amount.")), missing=reason)


def total(jobs_hours: list[Figure]) -> Figure:
    """Return the sum of hours that are known, from their exact values."""
    known = [hours.value for hours in jobs_hours if hours.value is not None]
    left_out = len(jobs_hours) - len(known)
    inputs = ((_("Jobs added"), str(len(known))), (_("Jobs without an estimate"), str(left_out)))
    why = Why(_("Sum of the estimated hours."), inputs)
    value = sum(known) if known or not jobs_hours else None
    missing = "" if value is not None else _("None of these jobs has an estimate.")
    return Figure("hours_due", _("Hours of work due"), value, _("h"), 1, why, n=len(known), missing=missing)


def _estimate(value: float, why: Why, own: OwnRate | None) -> Figure:
    if own is None:
        return _hours(value, why)
    learned = words.counted(
        "{n} finished job of this farm with its hours",
        "{n} finished jobs of this farm with their hours",
        own.jobs,
    )
    rule = _("Labour norm × amount × the farm's own factor, drawn towards 1 while few jobs are finished.")
    inputs = (
        *why.inputs,
        (_("By the norm alone"), f"{words.number(value, 1)} h"),
        (_("The farm's own factor"), f"{words.number(own.factor, 2)} ({learned})"),
    )
    return replace(_hours(value * own.factor, replace(why, rule=rule, inputs=inputs)), n=own.jobs)


def _hours(value: float, why: Why) -> Figure:
    return Figure("hours", _("Hours"), value, _("h"), 1, why)


def plants_text(plants: int) -> str:
    """Return ``2300 plants``."""
    return words.counted("{n} plant", "{n} plants", plants)
