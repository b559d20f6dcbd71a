"""Before planting: where the plots lie, which treatment is drawn for each, and what difference could be seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from bayround.agronomy import power, trial_layout
from bayround.facts.farm import Bay
from bayround.facts.problems import Refused
from bayround.facts.trials import TrialDesign
from bayround.figures import trial_size
from bayround.figures.figure import Figure, Why
from bayround.figures.trial_plots import MEASURES
from bayround.words import _


class PlotKind(StrEnum):
    """What one plot is."""

    ROWS = "rows"
    PART_OF_ROW = "part of a row"
    BAY = "bay"
    HOUSE = "house"
    NO_PLACE = "no place on the farm"


@dataclass(frozen=True, slots=True)
class Plan:
    """A trial that is wished for. *replicates* are blocks where there are blocks.

    *bay_ids* in walk order are where it may lie; *rows_per_plot* counts for plots of rows, *parts_per_row* for
    parts of a row. *spread_percent* is how much plots of one treatment vary, in % of their mean; *usual_mean* is
    what a plot usually brings.
    """

    name: str
    question: str
    main_factor: str
    treatments: tuple[str, ...]
    design: TrialDesign
    replicates: int
    seed: int
    measure: str = "typed"
    measure_unit: str = ""
    sub_factor: str = ""
    sub_treatments: tuple[str, ...] = ()
    plot_kind: PlotKind = PlotKind.NO_PLACE
    bay_ids: tuple[str, ...] = ()
    rows_per_plot: int = 1
    parts_per_row: int = 2
    spread_percent: float = 12.0
    usual_mean: float | None = None


@dataclass(frozen=True, slots=True)
class PlannedPlot:
    """One plot of a layout: its number along the walk, what it gets, and where it lies."""

    number: int
    main_level: str
    sub_level: str = ""
    block: str = ""
    bay_ids: tuple[str, ...] = ()
    first_row: int | None = None
    last_row: int | None = None
    part: int | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """A plan with its plots drawn by lot, and the smallest difference it could see."""

    plan: Plan
    plots: tuple[PlannedPlot, ...]
    detectable: Figure
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Spot:
    bay_ids: tuple[str, ...]
    house_id: str
    first_row: int | None = None
    last_row: int | None = None
    part: int | None = None


def lay_out(plan: Plan, bays: Sequence[Bay]) -> Layout:
    """Draw the layout of a plan; the same seed draws the same layout. *bays* are the farm's, in walk order.

    Raises:
        Refused: when treatments, replicates or places don't make this layout.
    """
    _refuse_impossible(plan)
    drawn = _drawn(plan)
    spots = _spots(plan, bays)
    if spots and len(spots) < len(drawn):
        raise Refused(
            _("This layout needs {n} plots; the places chosen give {m}.").format(n=len(drawn), m=len(spots)),
            to_do=_("Choose more bays, fewer rows to a plot, or fewer replicates."),
        )
    blanks = [_Spot((), "")] * len(drawn)
    plots = tuple(
        PlannedPlot(
            number=place.plot,
            main_level=place.whole if place.whole is not None else place.treatment,
            sub_level=place.treatment if place.whole is not None else "",
            block="" if place.block is None else str(place.block),
            bay_ids=spot.bay_ids,
            first_row=spot.first_row,
            last_row=spot.last_row,
            part=spot.part,
        )
        for place, spot in zip(drawn, spots or blanks)
    )
    return Layout(plan, plots, detectable(plan), _cautions(plan, plots))


def _refuse_impossible(plan: Plan) -> None:
    if not plan.name.strip() or not plan.main_factor.strip():
        raise Refused(_("A trial needs a name, and a word for what is compared."))
    for names in (plan.treatments, plan.sub_treatments):
        if len(set(names)) != len(names) or any(not name.strip() for name in names):
            raise Refused(_("Each treatment needs a name of its own."))
    if len(plan.treatments) < 2:
        raise Refused(_("A trial compares at least two treatments."))
    if plan.design is TrialDesign.SPLIT_PLOT and (
        len(plan.sub_treatments) < 2 or not plan.sub_factor.strip()
    ):
        raise Refused(_("A split plot needs at least two treatments within the whole plots, and their name."))
    if plan.design is not TrialDesign.NO_REPLICATION and not 2 <= plan.replicates <= 100:
        raise Refused(
            _("Without at least two replicates nothing can be tested."),
            to_do=_("Take two or more, or choose “no replication”: it will be described, not tested."),
        )


def _drawn(plan: Plan) -> Sequence[trial_layout.PlotPlace]:
    if plan.design is TrialDesign.BLOCKS:
        return trial_layout.blocks_layout(plan.treatments, plan.replicates, plan.seed)
    if plan.design is TrialDesign.SPLIT_PLOT:
        return trial_layout.split_plot_layout(
            plan.treatments, plan.sub_treatments, plan.replicates, plan.seed
        )
    if plan.design is TrialDesign.NO_REPLICATION:
        one = trial_layout.completely_randomised_layout(plan.treatments, 2, plan.seed)
        order = list(dict.fromkeys(place.treatment for place in one))
        return [trial_layout.PlotPlace(number, None, name) for number, name in enumerate(order, start=1)]
    return trial_layout.completely_randomised_layout(plan.treatments, plan.replicates, plan.seed)


def _spots(plan: Plan, bays: Sequence[Bay]) -> list[_Spot]:
    chosen = [bay for bay in bays if bay.id in set(plan.bay_ids)]
    if plan.plot_kind is PlotKind.HOUSE:
        houses: dict[str, list[str]] = {}
        for bay in chosen:
            houses.setdefault(bay.house_id, []).append(bay.id)
        return [_Spot(tuple(ids), house) for house, ids in houses.items()]
    if plan.plot_kind is PlotKind.BAY:
        return [_Spot((bay.id,), bay.house_id) for bay in chosen]
    if plan.plot_kind is PlotKind.PART_OF_ROW:
        return [
            _Spot((bay.id,), bay.house_id, row, row, part)
            for bay in chosen
            for row in range(1, bay.rows + 1)
            for part in range(1, plan.parts_per_row + 1)
        ]
    if plan.plot_kind is PlotKind.NO_PLACE:
        return []
    width = max(plan.rows_per_plot, 1)
    rows = {
        bay.id: [
            _Spot((bay.id,), bay.house_id, first, first + width - 1)
            for first in range(1, bay.rows - width + 2, width)
        ]
        for bay in chosen
    }
    return _whole_blocks(plan, rows) or [spot for spots in rows.values() for spot in spots]


def _whole_blocks(plan: Plan, rows: Mapping[str, list[_Spot]]) -> list[_Spot]:
    """Return only as many rows of each bay as make whole blocks, where that is enough; else nothing."""
    size = len(plan.treatments) * max(len(plan.sub_treatments), 1)
    if plan.design not in {TrialDesign.BLOCKS, TrialDesign.SPLIT_PLOT}:
        return []
    if plan.design is TrialDesign.BLOCKS:
        size = len(plan.treatments)
    found = [spot for spots in rows.values() for spot in spots[: len(spots) // size * size]]
    return found if len(found) >= size * plan.replicates else []


def detectable(plan: Plan) -> Figure:
    """Return the smallest difference the layout could see 4 times in 5, in the measure's unit or in %."""
    usual = plan.usual_mean
    unit = plan.measure_unit if usual else "%"
    label = _("Smallest difference this layout could see")
    why = Why(
        _("Tukey's comparison finds a true difference of this size 4 times in 5; exact noncentral t."),
        (
            (_("Plots of one treatment vary by"), f"{plan.spread_percent:g} %"),
            (_("Treatments"), str(len(plan.treatments))),
            (_("Replicates"), str(plan.replicates)),
        ),
        "Cohen 1988, Statistical Power Analysis",
        "published",
    )
    bare = Figure("detectable_difference", label, None, unit, 2 if usual else 0, why)
    if plan.design is TrialDesign.NO_REPLICATION:
        return bare.without(_("Without replication no difference can be told from chance, however large."))
    if plan.spread_percent <= 0:
        return bare.without(_("Say by how much plots of one treatment vary (more than 0 %)."))
    in_blocks = plan.design is not TrialDesign.COMPLETELY_RANDOMISED
    percent = power.smallest_difference_of_design(
        plan.spread_percent, len(plan.treatments), plan.replicates, in_blocks=in_blocks
    )
    value = percent / 100 * usual if usual else percent
    why = replace(why, inputs=(*why.inputs, *_plots_wanted(plan, in_blocks=in_blocks)))
    return Figure("detectable_difference", label, value, unit, bare.decimals, why)


def _plots_wanted(plan: Plan, *, in_blocks: bool) -> tuple[tuple[str, str], ...]:
    counts = plan.measure in MEASURES and MEASURES[plan.measure].counts
    return trial_size.plots_wanted(
        plan.spread_percent,
        len(plan.treatments),
        in_blocks=in_blocks,
        counted_mean=plan.usual_mean if counts else None,
    )


def _cautions(plan: Plan, plots: Sequence[PlannedPlot]) -> tuple[str, ...]:
    found = []
    if plan.design is TrialDesign.NO_REPLICATION:
        found.append(_("No replication: the outcome will be described, not tested."))
    if plan.plot_kind is PlotKind.PART_OF_ROW:
        found.append(_("Rounds and picks don't know parts of a row: type the values of these plots."))
    if plan.plot_kind is PlotKind.ROWS and plan.measure in {"kg_m2", "fruit_m2"}:
        found.append(
            _("Picks are kept by bay: weigh the rows of each plot by themselves and type the values.")
        )
    if plan.design is TrialDesign.BLOCKS and _blocks_cross(plots):
        found.append(_("A block lies in more than one bay; blocks of plots that lie together see more."))
    return tuple(found)


def _blocks_cross(plots: Sequence[PlannedPlot]) -> bool:
    held: dict[str, set[tuple[str, ...]]] = {}
    for plot in plots:
        if plot.first_row is not None:
            held.setdefault(plot.block, set()).add(plot.bay_ids)
    return any(len(bays) > 1 for bays in held.values())


def place_in_words(plot: PlannedPlot, names: Mapping[str, str]) -> str:
    """Return where a plot lies, like ``S1 rows 3–4``; *names* maps bay ids to names."""
    bays = ", ".join(names.get(bay, "?") for bay in plot.bay_ids)
    if plot.first_row is None:
        return bays
    rows = f"{plot.first_row}" if plot.first_row == plot.last_row else f"{plot.first_row}–{plot.last_row}"
    part = f" {_('part')} {plot.part}" if plot.part is not None else ""
    return f"{bays} {_('rows') if '–' in rows else _('row')} {rows}{part}"
