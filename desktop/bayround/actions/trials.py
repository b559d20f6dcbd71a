"""Trials: plan and draw one, keep it, type or paste the values of its plots, and have it analysed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from bayround import words
from bayround.actions import trial_text
from bayround.actions.farm import OpenFarm
from bayround.actions.jobs import Moment
from bayround.agronomy.trial_checks import Scale as Scale
from bayround.agronomy.trial_result import Method as Method
from bayround.facts.bay_past import BayPast, gather
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.season import SeasonFacts, walk_order
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.figures import trial_plan, trial_plots, trials
from bayround.figures.trial_plan import Layout, Plan
from bayround.figures.trial_plots import PlotValue
from bayround.figures.trial_report import TrialReport
from bayround.records import read_season, write_setup
from bayround.words import _

__all__ = [
    "Method",
    "Scale",
    "TrialBook",
    "TrialView",
    "analyse",
    "end",
    "import_text",
    "propose",
    "read",
    "save",
    "type_values",
]


@dataclass(frozen=True, slots=True)
class TrialView:
    """One trial with its plots as they stand, and where they lie in words."""

    trial: Trial
    plots: tuple[PlotValue, ...]
    places: Mapping[str, str]

    @property
    def filled(self) -> int:
        """How many plots have a value."""
        return sum(one.value is not None for one in self.plots)


@dataclass(frozen=True, slots=True)
class TrialBook:
    """All trials, newest first, and the set-up they lie in (bays in walk order)."""

    trials: tuple[TrialView, ...]
    season: SeasonFacts
    today: date

    def view(self, trial_id: str) -> TrialView | None:
        """Return one trial."""
        return next((one for one in self.trials if one.trial.id == trial_id), None)


def read(farm: OpenFarm, today: date) -> TrialBook:
    """Return the trials with the values their plots have on *today* (or had when they ended)."""
    season = read_season.read_season(farm.store)
    return of_season(season, today)


def of_season(season: SeasonFacts, today: date) -> TrialBook:
    """Return the trials of facts that are read already."""
    plots: dict[str, list[TrialPlot]] = {}
    for plot in season.trial_plots:
        plots.setdefault(plot.trial_id, []).append(plot)
    views = []
    pasts: dict[date, dict[str, BayPast]] = {}
    names = {bay.id: bay.name for bay in season.bays}
    for trial in sorted(season.trials, key=lambda one: (one.started_on, one.id), reverse=True):
        own = sorted(plots.get(trial.id, ()), key=lambda one: (_natural(one.name), one.id))
        until = min(today, trial.ended_on or today)
        linked = any(plot.bay_id for plot in own)
        if linked and until not in pasts:
            pasts[until] = {past.bay.id: past for past in gather(season, until)}
        found = trial_plots.values(trial, own, pasts[until] if linked else {}, until)
        views.append(TrialView(trial, found, {plot.id: _place(plot, names) for plot in own}))
    ordered = tuple(walk_order(season.houses, season.bays))
    return TrialBook(tuple(views), replace(season, bays=ordered), today)


def propose(farm: OpenFarm, plan: Plan) -> Layout:
    """Draw a layout for a plan, without keeping anything.

    Raises:
        Refused: when treatments, replicates or places don't make this layout.
    """
    season = read_season.read_season(farm.store)
    bays = [bay for bay in walk_order(season.houses, season.bays) if bay.retired_on is None]
    return trial_plan.lay_out(plan, bays)


def save(farm: OpenFarm, layout: Layout, started_on: date, note: str = "") -> Trial:
    """Keep a trial as drawn. A plot that covers several bays (a house) is kept bay by bay.

    Raises:
        Refused: when a trial of this name is there already.
    """
    plan = layout.plan
    trial = Trial(
        id=new_id(),
        name=plan.name.strip(),
        question=plan.question.strip(),
        design=plan.design,
        main_factor=plan.main_factor.strip(),
        measure=plan.measure,
        started_on=started_on,
        sub_factor=plan.sub_factor.strip(),
        measure_unit=plan.measure_unit,
        seed=plan.seed,
        note=note,
    )
    plots = []
    for planned in layout.plots:
        for place, bay_id in enumerate(planned.bay_ids or (None,), start=1):
            several = f".{place}" if len(planned.bay_ids) > 1 else ""
            plots.append(
                TrialPlot(
                    id=new_id(),
                    trial_id=trial.id,
                    name=f"{planned.number}{several}",
                    main_level=planned.main_level,
                    sub_level=planned.sub_level,
                    block=planned.block,
                    bay_id=bay_id,
                    first_row=planned.first_row,
                    last_row=planned.last_row,
                    note="" if planned.part is None else _("part {n} of the row").format(n=planned.part),
                )
            )
    _keep(farm, trial, plots)
    return trial


def import_text(
    farm: OpenFarm,
    text: str,
    *,
    name: str,
    design: TrialDesign,
    started_on: date,
    main_factor: str = "treatment",
    sub_factor: str = "",
    measure_unit: str = "",
    question: str = "",
    ended_on: date | None = None,
) -> Trial:
    """Make a trial of pasted lines (headings plot, block, treatment, within, value); all of it or nothing.

    Raises:
        Refused: when a line can't be read; its number is said.
    """
    rows = trial_text.parse(text)
    trial = Trial(
        id=new_id(),
        name=name.strip(),
        question=question,
        design=design,
        main_factor=main_factor,
        measure=trial_plots.TYPED,
        started_on=started_on,
        sub_factor=sub_factor,
        measure_unit=measure_unit,
        ended_on=ended_on,
    )
    plots = [
        TrialPlot(
            id=new_id(),
            trial_id=trial.id,
            name=row.plot,
            main_level=row.main_level,
            sub_level=row.sub_level,
            block=row.block,
            value=row.value,
        )
        for row in rows
    ]
    _keep(farm, trial, plots)
    return trial


def type_values(
    farm: OpenFarm, trial_id: str, values: Mapping[str, float | None], moment: Moment, reason: str = ""
) -> int:
    """Keep values typed for plots (plot id or plot name → value), all or none; return how many changed.

    Earlier values stay in the history of corrections. A typed value goes before one from rounds or picks.

    Raises:
        Refused: when the trial has no such plot.
    """
    season = read_season.read_season(farm.store)
    own = {plot.id: plot for plot in season.trial_plots if plot.trial_id == trial_id}
    by_name = {plot.name: plot for plot in own.values()}
    unknown = [key for key in values if key not in own and key not in by_name]
    if unknown:
        raise Refused(
            _("This trial has no plot “{name}”.").format(name=unknown[0]), _("Nothing was changed.")
        )
    typed = {(own.get(key) or by_name[key]).id: value for key, value in values.items()}
    changed = [replace(own[plot_id], value=value) for plot_id, value in typed.items()]
    return len(write_setup.change_all(farm.store, changed, moment.person_id, moment.now, reason))


def paste_values(farm: OpenFarm, trial_id: str, text: str, moment: Moment) -> int:
    """Keep pasted lines of plot and value; return how many changed.

    Raises:
        Refused: when a line can't be read or the trial has no such plot.
    """
    return type_values(farm, trial_id, trial_text.parse_values(text), moment)


def end(farm: OpenFarm, trial_id: str, ended_on: date, moment: Moment) -> None:
    """Close a trial: from then on nothing new comes into it.

    Raises:
        Refused: when the day lies before its beginning or is still to come.
    """
    season = read_season.read_season(farm.store)
    trial = _trial(season, trial_id)
    if not trial.started_on <= ended_on <= moment.today:
        raise Refused(_("{day} can't be the last day of this trial.").format(day=words.day(ended_on)))
    write_setup.change(farm.store, replace(trial, ended_on=ended_on), moment.person_id, moment.now, "")


def analyse(
    farm: OpenFarm,
    trial_id: str,
    today: date,
    *,
    scale: Scale = Scale.PLAIN,
    method: Method = Method.TUKEY,
    alpha: float = 0.05,
) -> TrialReport:
    """Analyse a trial as it was laid out. What is tested against what can't be chosen.

    Raises:
        Refused: when no plot has a value yet, or the layout contradicts itself.
    """
    view = read(farm, today).view(trial_id)
    if view is None:
        raise Refused(_("This trial is not there any more."))
    return trials.report(view.trial, view.plots, today, scale=scale, method=method, alpha=alpha)


def _keep(farm: OpenFarm, trial: Trial, plots: list[TrialPlot]) -> None:
    season = read_season.read_season(farm.store)
    if not trial.name:
        raise Refused(_("A trial needs a name."))
    if any(one.name.casefold() == trial.name.casefold() for one in season.trials):
        raise Refused(
            _("There is a trial “{name}” already.").format(name=trial.name), to_do=_("Give it another name.")
        )
    write_setup.add(farm.store, trial, *plots)


def _trial(season: SeasonFacts, trial_id: str) -> Trial:
    found = next((one for one in season.trials if one.id == trial_id), None)
    if found is None:
        raise Refused(_("This trial is not there any more."))
    return found


def _natural(name: str) -> tuple[float, str]:
    head = name.split(".", 1)[0]
    return (float(head), name) if head.isascii() and head.isdigit() else (float("inf"), name)


def _place(plot: TrialPlot, names: Mapping[str, str]) -> str:
    if plot.bay_id is None:
        return ""
    bay = names.get(plot.bay_id, "?")
    if plot.first_row is None:
        return bay
    last = plot.last_row or plot.first_row
    rows = (
        f"{_('row')} {plot.first_row}" if last == plot.first_row else f"{_('rows')} {plot.first_row}–{last}"
    )
    return f"{bay} {rows} {plot.note}".strip()
