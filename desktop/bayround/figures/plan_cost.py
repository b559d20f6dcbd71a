"""What a stop plan costs: wrong calls and plants inspected, exactly, at every true level."""

from __future__ import annotations

from dataclasses import dataclass

from bayround import words
from bayround.agronomy import operating, sequential
from bayround.agronomy.operating import OperatingPoint, WaldPoint
from bayround.crops.organisms import Organism, Threshold
from bayround.figures.pest_verdicts import plan_of, thresholds_used
from bayround.words import _

SOURCE = (
    "Wald 1945, Ann. Math. Stat. 16:117–186 (lines); exact chances by stepping through every total, "
    "Binns, Nyrop & van der Werf 2000, ch. 5"
)
CURVE_POINTS = 33


@dataclass(frozen=True, slots=True)
class PlanView:
    """One organism's plan on one part: its stop table, its exact curves, and what they mean in words.

    *curve* runs from near 0 to well beyond the act level; *leave_point* and *act_point* are its two levels.
    """

    organism: Organism
    threshold: Threshold
    leave_level: float
    act_level: float
    table: tuple[sequential.StopRow, ...]
    curve: tuple[OperatingPoint, ...]
    leave_point: OperatingPoint
    act_point: OperatingPoint
    wald: tuple[WaldPoint | None, ...] = ()
    """Wald's approximation at the levels of *curve*, which knows no largest number; none out of its reach."""

    @property
    def title(self) -> str:
        """Organism and part."""
        return f"{_(self.organism.name)} · {_(self.threshold.part)}"


def views(organisms: tuple[Organism, ...], crop: str) -> tuple[PlanView, ...]:
    """Return the plan of every organism that has one for a crop, a part after another."""
    found = []
    for organism in organisms:
        for threshold in thresholds_used(organism, crop):
            view = view_of(organism, threshold)
            if view is not None:
                found.append(view)
    return tuple(found)


def view_of(organism: Organism, threshold: Threshold) -> PlanView | None:
    """Return the exact figures of a threshold's plan, or nothing where it has none."""
    plan = plan_of(threshold)
    if plan is None:
        return None
    top = min(0.95, 2 * plan.act_level)
    levels = [top * (step + 0.5) / CURVE_POINTS for step in range(CURVE_POINTS)]
    return PlanView(
        organism=organism,
        threshold=threshold,
        leave_level=plan.leave_level,
        act_level=plan.act_level,
        table=sequential.stop_table(plan),
        curve=operating.operating_curve(plan, levels),
        leave_point=operating.exact_operating(plan, plan.leave_level),
        act_point=operating.exact_operating(plan, plan.act_level),
        wald=tuple(_wald(plan, level) for level in levels),
    )


def _wald(plan: sequential.SequentialPlan, level: float) -> WaldPoint | None:
    try:
        return operating.wald_operating(plan, level)
    except ValueError:
        return None


def wald_sentence(view: PlanView) -> str:
    """Return what Wald's approximation would say at the two levels, so that nobody takes it for the plan."""
    plan = plan_of(view.threshold)
    low, high = (None if plan is None else _wald(plan, level) for level in (view.leave_level, view.act_level))
    if low is None or high is None:
        return ""
    return _(
        "Wald's approximation (thin line) knows no largest number: it says {wrong} and {missed} of 100, and {n} and {m} inspected."
    ).format(
        wrong=_percent(1 - low.leave),
        missed=_percent(high.leave),
        n=words.number(low.average_inspected, 0),
        m=words.number(high.average_inspected, 0),
    )


def sentences(view: PlanView) -> tuple[str, ...]:
    """Return what the plan does at its two levels and how far a scout may have to look, in words."""
    low, high = view.leave_point, view.act_point
    needless = _(
        "At {level} % infested you'd act needlessly in {wrong} of 100 rounds; on average {n} are inspected."
    ).format(level=_percent(low.true_level), wrong=_percent(low.act), n=_count(low))
    missed = _(
        "At {level} % infested you'd leave it by mistake in {wrong} of 100 rounds; on average {n} are inspected."
    ).format(level=_percent(high.true_level), wrong=_percent(high.leave), n=_count(high))
    undecided = _(
        "In up to {share} of 100 rounds even {most} do not tell; then judge for yourself or look again soon."
    ).format(share=_percent(max(one.cannot_tell for one in view.curve)), most=view.table[-1].inspected)
    return tuple(said for said in (needless, missed, undecided, wald_sentence(view)) if said)


def _count(point: OperatingPoint) -> str:
    return words.number(point.average_inspected, 0)


def table_lines(view: PlanView) -> tuple[tuple[int, int | None, int | None], ...]:
    """Return (inspected, leave at most, act from) at every number where an answer changes."""
    lines: list[tuple[int, int | None, int | None]] = []
    for row in view.table:
        if not lines or (row.leave_at_most, row.act_at_least) != lines[-1][1:] or row is view.table[-1]:
            lines.append((row.inspected, row.leave_at_most, row.act_at_least))
    return tuple(lines)


def _percent(share: float) -> str:
    return words.number(share * 100, 0)
