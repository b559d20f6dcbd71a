"""Means over all bays of a crop: the bays, not the plants, are the sample."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from bayround import words
from bayround.agronomy import sampling
from bayround.facts.bay_past import BayPast
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.figures.sample_size import MEASURES
from bayround.words import _

CLUSTER_SOURCE = "Cochran 1977, Sampling Techniques, 3rd ed., ch. 6 and 9 (ratio estimate over bays); Kish 1965 (design effect); both from memory"


def mean_over_bays(pasts: Iterable[BayPast], figure_id: str, since: date, bays_there: int) -> Figure:
    """Return the mean per plant over bays, each by its newest visit from *since* on, with its interval.

    The interval knows that plants of one bay are alike; *bays_there* is how many bays there are.

    Raises:
        KeyError: for a figure that is no mean over marked plants.
    """
    measure = MEASURES[figure_id]
    label = _("{what}, all bays").format(what=_(measure.label))
    rule = _("Mean over the marked plants of all bays; the bays, not the plants, are the sample.")
    newest = [past for past in pasts if past.latest is not None and past.latest.day >= since]
    groups = [values for past in newest if (values := list(measure.values(past).values()))]
    inputs: tuple[tuple[str, str], ...] = (
        (_("Bays looked at"), str(len(groups))),
        (_("Bays there are"), str(bays_there)),
    )
    name = f"{figure_id}_all"
    if len(groups) < 2:
        why = Why(rule, inputs, CLUSTER_SOURCE, "memory")
        missing = _("Needs two bays that were measured.")
        return Figure(name, label, None, measure.unit, measure.decimals, why, missing=missing)
    found = sampling.cluster_estimate(groups, max(bays_there, len(groups)))
    inputs += (
        (_("Plants of one bay are alike (1: wholly)"), words.number(found.intraclass_correlation, 2)),
        (_("As good as so many plants drawn singly"), words.number(found.effective_n, 0)),
    )
    why = Why(rule, inputs, CLUSTER_SOURCE, "memory")
    low, high = found.low, found.high
    if sampled.scatter_unknown(found.standard_error, found.bays):
        low = high = None  # type: ignore[assignment]
    return Figure(
        name, label, found.mean, measure.unit, measure.decimals, why, low, high, n=found.plants, n_of="plants"
    )
