"""The side panel of the Visit screen: what the half-keyed bay already says."""

from __future__ import annotations

from dataclasses import replace

from bayround.crops import Crops
from bayround.facts.bay_past import BayPast, VisitRecord
from bayround.figures import pest_verdicts
from bayround.jobs import due_jobs
from bayround.week.bay_figures import all_figures
from bayround.week.visit_sheet import Panel

PANEL_FIGURES = (
    "growth_cm_week",
    "head_above_tie_cm",
    "fruit_per_plant",
    "fruit_per_m2",
    "fruit_set_since",
    "incidence_percent",
    "weed_cover_percent",
)


def build(past: BayPast, record: VisitRecord, crops: Crops) -> Panel:
    """Return figures, pest decisions and due jobs as if *record* were finished now."""
    if past.planting is None:
        raise ValueError("A visit needs a planting.")
    profile = crops.profile(past.planting.crop)
    earlier = tuple(
        seen for seen in past.visits if seen.visit.id != record.visit.id and seen.day <= record.day
    )
    with_this = replace(past, visits=(*earlier, record))
    found = all_figures(with_this, crops, record.day)
    return Panel(
        figures=tuple(found[figure_id] for figure_id in PANEL_FIGURES),
        decisions=pest_verdicts.decisions(record, profile, crops.organisms),
        jobs=due_jobs(with_this, found, crops, record.day),
    )
