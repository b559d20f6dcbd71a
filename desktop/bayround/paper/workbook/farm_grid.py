"""The farm as a grid of bays: one cell a bay, told by shape, word and ground what presses most there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bayround.paper.workbook import sizes, styles
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.styles import Look
from bayround.week.snapshot import BayWeek
from bayround.words import _, counted

FIRST_COLUMN = 2
ACROSS = 10
"""Bays side by side; the column before them names the house."""

_MOST_ROOMY_ROWS = 6
_MOST_ROWS = 22
_LINE_POINTS, _DENSE_POINTS = 11.8, 15.0
_LETTERS_A_LINE = 14
"""Letters that fit across a roomy tile."""


@dataclass(frozen=True, slots=True)
class Tile:
    """What one bay shows. *ground* and *mark* go with *word*; *more* is said where there is room."""

    name: str
    word: str
    mark: str
    ground: str
    thick: bool
    more: str = ""

    @property
    def roomy(self) -> str:
        """Text on several lines."""
        return "\n".join(part for part in (self.name, f"{self.mark} {self.word}".strip(), self.more) if part)

    @property
    def lines(self) -> int:
        """Lines the roomy text takes."""
        return sum(sizes.lines_in(line, _LETTERS_A_LINE) for line in self.roomy.split("\n"))

    @property
    def dense(self) -> str:
        """Text on one line."""
        return f"{self.mark} {self.name}".strip()


@dataclass(frozen=True, slots=True)
class Group:
    """Bays that stand under one heading: those of a house, or a run of houses with one bay each."""

    heading: str
    tiles: tuple[Tile, ...]

    @property
    def lines(self) -> int:
        """Rows the group takes."""
        return -(-len(self.tiles) // ACROSS)


def tile(seen: BayWeek, name: str) -> Tile:
    """Return what a bay shows: its most pressing job that is not done, or that there is none, or no visit."""
    jobs = [job for job in seen.jobs if job.is_due]
    not_visited = _("not visited") if seen.planting is not None and seen.visit is None else ""
    if jobs:
        worst = min(jobs, key=lambda job: job.priority)
        kinds = list(dict.fromkeys(job.kind_text.lower() for job in jobs if job.priority == worst.priority))
        told = kinds[0] + (f" +{len(jobs) - 1}" if len(jobs) > 1 else "")
        ground, mark = styles.PRIORITY_GROUND[worst.priority], styles.PRIORITY_MARK[worst.priority]
        return Tile(name, worst.priority_text, mark, ground, worst.priority == 1, told)
    if seen.planting is None:
        return Tile(name, _("no crop"), "", styles.QUIET_GREY, False)
    if not_visited:
        return Tile(name, not_visited, "?", styles.NOT_SEEN, False)
    return Tile(name, _("nothing due"), "", "", False)


def groups(bays: Sequence[BayWeek]) -> list[Group]:
    """Return the bays by house in walk order; houses with a single bay that follow each other share a group."""
    by_house: dict[str, list[BayWeek]] = {}
    for seen in bays:
        by_house.setdefault(seen.house.id, []).append(seen)
    found: list[Group] = []
    single: list[Tile] = []
    for members in by_house.values():
        if len(members) == 1:
            single.append(tile(members[0], members[0].house.name))
            continue
        if single:
            found.append(Group(_("Houses"), tuple(single)))
            single = []
        found.append(Group(members[0].house.name, tuple(tile(seen, seen.bay.name) for seen in members)))
    return [*found, Group(_("Houses"), tuple(single))] if single else found


def fitted(bays: Sequence[BayWeek]) -> tuple[list[Group], bool, str]:
    """Return the groups that fit the page, whether there is room for words in each tile, and what was left out.

    A farm too large for one page shows its pressing bays first; the rest is counted in words.
    """
    found = groups(bays)
    lines = sum(group.lines for group in found)
    if lines <= _MOST_ROWS:
        return found, lines <= _MOST_ROOMY_ROWS, ""
    pressing = sorted(
        (seen for seen in bays if seen.jobs or (seen.planting and seen.visit is None)),
        key=lambda seen: min((job.priority for job in seen.jobs), default=4),
    )
    shown = pressing[: _MOST_ROWS * ACROSS]
    kept = {seen.bay.id for seen in shown}
    tiles = tuple(tile(seen, f"{seen.house.name} {seen.bay.name}") for seen in bays if seen.bay.id in kept)
    left_out = counted(
        "and {n} bay more: see the sheet Bays",
        "and {n} bays more: see the sheet Bays",
        len(bays) - len(tiles),
    )
    return [Group(_("Most pressing"), tiles)], False, left_out


def draw(pen: Pen, row: int, bays: Sequence[BayWeek]) -> int:
    """Draw the grid from *row* on; return the first free row."""
    found, roomy, left_out = fitted(bays)
    for group in found:
        pen.text(row, 1, group.heading, Look(size=9, bold=True, wrap=True, shrink=False))
        for place, shown in enumerate(group.tiles):
            line, across = divmod(place, ACROSS)
            pen.text(
                row + line, FIRST_COLUMN + across, shown.roomy if roomy else shown.dense, _look(shown, roomy)
            )
        for line in range(group.lines):
            tiles = group.tiles[line * ACROSS : (line + 1) * ACROSS]
            points = _LINE_POINTS * max(shown.lines for shown in tiles) + 3 if roomy else _DENSE_POINTS
            pen.sheet.row_dimensions[row + line].height = points
        row += group.lines
    if left_out:
        pen.text(row, FIRST_COLUMN, left_out, Look(size=9))
        row += 1
    return row


def legend(pen: Pen, row: int, bays: Sequence[BayWeek]) -> None:
    """Draw what the grounds and shapes mean, two columns each, most pressing first."""
    order = (*styles.PRIORITY_GROUND.values(), styles.NOT_SEEN, styles.QUIET_GREY, "")
    used = {shown.ground: shown for group in groups(bays) for shown in group.tiles}
    column = FIRST_COLUMN
    for ground in order:
        if ground not in used:
            continue
        shown = used[ground]
        look = Look(
            size=9, bold=shown.thick, ground=ground, lines="thick" if shown.thick else "thin", across="center"
        )
        pen.text(row, column, f"{shown.mark} {shown.word}".strip(), look)
        pen.put(row, column + 1, None, look)
        pen.sheet.merge_cells(start_row=row, end_row=row, start_column=column, end_column=column + 1)
        column += 2
        if column > FIRST_COLUMN + ACROSS - 2:
            return


def _look(shown: Tile, roomy: bool) -> Look:
    return Look(
        size=8.5,
        bold=shown.thick,
        ground=shown.ground,
        lines="thick" if shown.thick else "thin",
        across="center",
        down="center",
        wrap=roomy,
        shrink=not roomy,
    )
