"""The one list of columns that the Week screen, the workbook and the command line all walk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.figures.figure import Figure
from bayround.jobs import intervals
from bayround.week.snapshot import BayWeek
from bayround.words import _

Shown = str | int | date | Figure | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column: where its value comes from and how wide and which way it stands.

    *get* returns text, a whole number, a date or a Figure; every face shows it by `text` or `cell`.
    *group* names the sheet of the workbook on which the column stands too.
    """

    id: str
    heading: str
    unit: str
    get: Callable[[BayWeek], Shown]
    width: int = 10
    right: bool = False
    groups: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """Heading with its unit, ``Growth (cm/week)``."""
        return f"{_(self.heading)} ({self.unit})" if self.unit else _(self.heading)

    def text(self, bay_week: BayWeek) -> str:
        """Return the value as every screen and command shows it."""
        value = self.get(bay_week)
        if isinstance(value, Figure):
            return value.text
        if isinstance(value, date):
            return words.day(value)
        return words.MISSING if value is None or value == "" else str(value)

    def cell(self, bay_week: BayWeek) -> str | int | float | date | None:
        """Return the value for a workbook cell: numbers as shown, dates as dates, nothing where missing."""
        value = self.get(bay_week)
        return value.cell if isinstance(value, Figure) else value

    def number_format(self, bay_week: BayWeek) -> str | None:
        """Return the number format of the cell, or nothing for text."""
        value = self.get(bay_week)
        if isinstance(value, Figure):
            return value.number_format
        return "yyyy-mm-dd" if isinstance(value, date) else None

    def sort_key(self, bay_week: BayWeek) -> tuple[int, float, str]:
        """Return a key that sorts numbers by value, texts by letters, missing ones last."""
        value = self.get(bay_week)
        if isinstance(value, Figure):
            return (0, value.value, "") if value.value is not None else (1, 0.0, "")
        if isinstance(value, date):
            return (0, float(value.toordinal()), "")
        if isinstance(value, int):
            return (0, float(value), "")
        return (0, 0.0, value.casefold()) if value else (1, 0.0, "")


def _figure(figure_id: str, heading: str, unit: str, width: int = 11, groups: tuple[str, ...] = ()) -> Column:
    return Column(figure_id, heading, unit, lambda seen: seen.figures[figure_id], width, True, groups)


HEIGHTS, FRUIT, PESTS, WEEDS, PICKS = "heights", "fruit", "pests", "weeds", "picks"
INTERVALS, CLIMATE = "intervals", "climate"

COLUMNS: tuple[Column, ...] = (
    Column("house", "House", "", lambda seen: seen.house.name, 16),
    Column("bay", "Bay", "", lambda seen: seen.bay.name, 10),
    Column("crop", "Crop", "", lambda seen: seen.crop_name, 13),
    Column("variety", "Variety", "", lambda seen: seen.planting.variety if seen.planting else None, 14),
    _figure("age_weeks", "Age", "weeks", 8),
    Column("visited_on", "Visited", "", lambda seen: seen.visit.day if seen.visit else None, 12),
    Column("scout", "Scout", "", lambda seen: seen.scout, 14),
    _figure("days_since_visit", "Since visit", "days", 9),
    _figure("height_cm", "Height", "cm", 9, (HEIGHTS,)),
    _figure("growth_cm_week", "Growth", "cm/week", 10, (HEIGHTS,)),
    _figure("head_above_tie_cm", "Head above tie", "cm", 11, (HEIGHTS,)),
    _figure("days_to_tie", "Tie due after visit", "days", 10, (HEIGHTS,)),
    _figure("fruit_per_plant", "Fruit per plant", "fruit", 10, (FRUIT,)),
    _figure("fruit_per_stem", "Fruit per stem", "fruit", 10, (FRUIT,)),
    _figure("fruit_per_m2", "Fruit load", "fruit/m²", 10, (FRUIT,)),
    Column(
        "load_verdict",
        "Load against band",
        "",
        lambda seen: _text_of(seen, "load_over_band"),
        16,
        groups=(FRUIT,),
    ),
    _figure("fruit_set_since", "Fruit gained", "fruit/plant", 11, (FRUIT,)),
    _figure("ripe_per_m2", "Ready to pick", "fruit/m²", 11, (FRUIT,)),
    _figure("incidence_percent", "Worst incidence", "%", 10, (PESTS,)),
    Column(
        "incidence_of",
        "Worst organism",
        "",
        lambda seen: _text_of(seen, "incidence_percent"),
        18,
        groups=(PESTS,),
    ),
    _figure("weed_cover_percent", "Weed cover", "%", 9, (WEEDS,)),
    _figure("picked_kg_week", "Picked this week", "kg", 9, (PICKS,)),
    _figure("picked_kg_m2", "Picked to date", "kg/m²", 9, (PICKS,)),
    _figure("picked_kg_plant", "Picked per plant", "kg/plant", 9, (PICKS,)),
    _figure("foreseen_kg_week", "Foreseen this week", "kg", 10, (PICKS,)),
    _figure("picks_kg_next", "Picks next week", "kg", 9, (PICKS,)),
    _figure("heat_cd", "Heat since transplanting", "°C day", 10, (CLIMATE,)),
    _figure("vapour_pressure_deficit_kpa", "Vapour pressure deficit", "kPa", 10, (CLIMATE,)),
    _figure("light_mol_m2_day", "Light of a day", "mol/m²", 9, (CLIMATE,)),
    Column(
        "enter_from",
        "Enter from",
        "",
        lambda seen: intervals.enter_text(seen.clocks, seen.as_of),
        17,
        groups=(INTERVALS,),
    ),
    Column(
        "pick_from",
        "Pick from",
        "",
        lambda seen: intervals.pick_text(seen.clocks, seen.as_of),
        17,
        groups=(INTERVALS,),
    ),
    Column("jobs_due", "Jobs due", "", lambda seen: sum(job.is_due for job in seen.jobs), 8, True),
)


def _text_of(seen: BayWeek, figure_id: str) -> str | None:
    """Return the words that go with a figure: which organism, which side of the band."""
    figure = seen.figures[figure_id]
    return figure.says or None


def column(column_id: str) -> Column:
    """Return one column by its id.

    Raises:
        KeyError: when there is none.
    """
    for found in COLUMNS:
        if found.id == column_id:
            return found
    raise KeyError(column_id)
