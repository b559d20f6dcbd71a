"""A trial's layout on paper: the question, the plots as they lie, and a list with room to write values in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from bayround import words
from bayround.facts.farm import FarmInfo
from bayround.facts.trials import Trial, TrialPlot
from bayround.paper import farm_name
from bayround.paper.pages import page_head
from bayround.paper.pages.drawing import MARGIN_MM, Box, Document, Item, Line, Paper, Text
from bayround.paper.pages.measure import height_mm
from bayround.paper.pages.paging import Block, Part, onto_pages
from bayround.words import _

_BOX_MM, _ROW_MM, _NAME_MM, _MOST_BOXES = 15.0, 7.0, 24.0, 8


def document(
    farm: FarmInfo, trial: Trial, plots: Sequence[TrialPlot], places: Mapping[str, str], paper: Paper
) -> Document:
    """Return the pages of a trial; *places* says in words where each plot (by id) lies."""
    width = paper.width_mm - 2 * MARGIN_MM
    blocks = [_about(trial, len(plots), width), _layout(plots, width), _list(trial, plots, places, width)]
    title = _("Trial {name}").format(name=trial.name)
    head = partial(_head, farm, trial, paper)
    return Document(title, paper, onto_pages(paper, head, page_head.HEIGHT_MM, blocks))


def _head(farm: FarmInfo, trial: Trial, paper: Paper, page: int, pages: int) -> tuple[Item, ...]:
    title = _("Trial “{name}” · {farm}").format(name=trial.name, farm=farm_name.shown(farm))
    begun = _("Begins on {day}").format(day=words.weekday_day(trial.started_on))
    drawn = "" if trial.seed is None else "      " + _("Drawn by lot with seed {n}").format(n=trial.seed)
    note = _("Keep to the plots as drawn: whoever swaps plots by hand takes the lot, and so the test, away.")
    return page_head.head(paper, title, begun + drawn, note, page, pages)


def _about(trial: Trial, plots: int, width: float) -> Block:
    factors = " × ".join(part for part in (trial.main_factor, trial.sub_factor) if part)
    counted = words.counted("{n} plot", "{n} plots", plots)
    text = f"{trial.question}\n{_(trial.design.value)} · {factors} · {counted}".strip()
    room = height_mm(text, width, 10) + 2
    return Block((Part(room, (Text(MARGIN_MM, 0, width, room, text, 10, stand="top", wrap=True),)),))


def _layout(plots: Sequence[TrialPlot], width: float) -> Block:
    lines: dict[str, list[TrialPlot]] = {}
    for plot in plots:
        name = _("Block {n}").format(n=plot.block) if plot.block else _("Plots")
        lines.setdefault(name, []).append(plot)
    parts = [_heading(_("The plots as they lie"), width)]
    wide = (width - _NAME_MM) / min(max(len(group) for group in lines.values()), _MOST_BOXES)
    for name, group in lines.items():
        for start in range(0, len(group), _MOST_BOXES):
            items: list[Item] = []
            if start == 0:
                items.append(Text(MARGIN_MM, 0, _NAME_MM - 2, _BOX_MM, name, 9, bold=True, wrap=True))
            for place, plot in enumerate(group[start : start + _MOST_BOXES]):
                x = MARGIN_MM + _NAME_MM + place * wide
                items.append(Box(x, 0, wide - 1, _BOX_MM, 0.4))
                items.append(Text(x + 1, 0.5, wide - 3, 5, plot.name, 8))
                what = "\n".join(part for part in (plot.main_level, plot.sub_level) if part)
                items.append(
                    Text(x + 1, 5, wide - 3, _BOX_MM - 5.5, what, 9, bold=True, wrap=True, align="center")
                )
            parts.append(Part(_BOX_MM + 1.5, tuple(items)))
    return Block(tuple(parts), lambda _place: (parts[0],))


def _list(trial: Trial, plots: Sequence[TrialPlot], places: Mapping[str, str], width: float) -> Block:
    wides = (16.0, 22.0, 42.0, 34.0, 42.0)
    unit = f", {trial.measure_unit}" if trial.measure_unit else ""
    titles = (_("Plot"), _("Block"), _("Gets"), _("Where"), _("Value{unit}").format(unit=unit), _("Note"))
    edges, x = [], MARGIN_MM
    for wide in (*wides, width - sum(wides)):
        edges.append((x, wide))
        x += wide
    heads: list[Item] = []
    for title, (left, wide) in zip(titles, edges, strict=True):
        heads.append(Box(left, 0, wide, _ROW_MM, 0.2, 0.9))
        heads.append(Text(left + 1, 0, wide - 2, _ROW_MM, title, 8, bold=True))
    top = (_heading(_("Plot by plot"), width), Part(_ROW_MM, tuple(heads)))
    rows = []
    for plot in plots:
        gets = " · ".join(part for part in (plot.main_level, plot.sub_level) if part)
        cells = (plot.name, plot.block, gets, places.get(plot.id, ""), "", "")
        items: list[Item] = []
        for text, (left, wide) in zip(cells, edges, strict=True):
            items.append(Text(left + 1, 0, wide - 2, _ROW_MM, text, 9))
        items.append(Line(MARGIN_MM, _ROW_MM, MARGIN_MM + width, _ROW_MM, 0.1))
        items.append(Line(edges[4][0], 0, edges[4][0], _ROW_MM, 0.1))
        items.append(Line(edges[5][0], 0, edges[5][0], _ROW_MM, 0.1))
        rows.append(Part(_ROW_MM, tuple(items)))
    return Block((*top, *rows), lambda _place: top)


def _heading(text: str, width: float) -> Part:
    return Part(7.0, (Text(MARGIN_MM, 0, width, 6, text, 11, bold=True),))
