"""Pest or disease action: a check reached its threshold, or the stop line says act."""

from __future__ import annotations

from bayround.facts.work import JobKind
from bayround.figures import pest_verdicts
from bayround.jobs import hours
from bayround.jobs.case import Case
from bayround.jobs.job import Job
from bayround.words import _

CAUTION = "Ask whoever may decide on treatments; the product label and local rules decide, not this program."


def rule(case: Case) -> list[Job]:
    """Return one job for each organism whose check says act."""
    jobs = []
    for verdict in pest_verdicts.verdicts(case.visit, case.profile, case.crops.organisms):
        if verdict.decision is not pest_verdicts.Decision.ACT:
            continue
        figure_id = f"incidence_{verdict.organism.key}"
        numbers = (figure_id,) if figure_id in case.figures else ("incidence_percent",)
        jobs.append(
            case.job(
                JobKind.PEST,
                f"{verdict.organism.name}: {verdict.reason} " + _(CAUTION),
                case.due_on("pest_due_days_urgent" if verdict.urgent else "pest_due_days"),
                1 if verdict.urgent else 2,
                hours.unknown(_("Depends on what is decided.")),
                numbers,
                target=verdict.organism.key,
            )
        )
    return jobs
