"""What the time line says in words: the value of a chart in a week, with what goes with it."""

from __future__ import annotations

from bayround import words
from bayround.facts.weeks import Week
from bayround.figures.figure import Figure
from bayround.week.season_line import NextTie, SeasonLine
from bayround.window.bay.chart_painting import Reading
from bayround.words import _

_LABELS = {
    "height_cm": "Height",
    "fruit_per_m2": "Fruit load",
    "incidence_percent": "Worst incidence",
    "weed_cover_percent": "Weed cover",
    "picked_kg_week": "Picked this week",
    "events": "Jobs and treatments",
}


def figure_of(line: SeasonLine, lane: str, week: Week) -> Figure | None:
    """Return the figure of a chart in a week: of picks what was picked, or what is foreseen."""
    if lane == "picked_kg_week":
        found = line.picks_in(week)
        return None if found is None else found.picked or found.coming or found.said
    visit = line.visit_in(week)
    return visit.figures.get(lane) if visit is not None else None


def reading(line: SeasonLine, lane: str, week: Week) -> Reading:
    """Return name, value and further lines of a chart in a week."""
    if lane == "events":
        events = line.events_in(week)
        return _(_LABELS[lane]), str(len(events)) if events else words.MISSING, [one.text for one in events]
    figure = figure_of(line, lane, week)
    label = figure.label if figure is not None else _(_LABELS[lane])
    value = words.MISSING if figure is None or figure.value is None else figure.text_with_unit
    return label, value, [text for text in _extras(line, lane, week, figure) if text]


def spoken(line: SeasonLine, lane: str, week: Week) -> str:
    """Return all that a chart says in a week, in one sentence."""
    label, value, extra = reading(line, lane, week)
    figure = figure_of(line, lane, week)
    if figure is not None and figure.value is None:
        value = figure.missing
    elif figure is None and lane != "events":
        value = _("nothing was read")
    interval = f" ({figure.interval_text})" if figure is not None and figure.interval_text else ""
    rest = [text for text in extra if figure is None or text != figure.interval_text]
    visit = line.visit_in(week) if lane == "incidence_percent" else None
    rest += [visit.reason] if visit is not None and visit.reason else []
    return f"{week}, {label}: {value}{interval}" + "".join(f"; {text}" for text in rest)


def tie_text(tie: NextTie) -> str:
    """Return the day of the next tie in words."""
    return _("tie {day}").format(day=words.day(tie.day)[5:])


def _extras(line: SeasonLine, lane: str, week: Week, figure: Figure | None) -> list[str]:
    found = [] if figure is None else [" ".join(part for part in (figure.interval_text, figure.says) if part)]
    if lane == "incidence_percent" and (visit := line.visit_in(week)) is not None and visit.decision:
        found.append(f"{_(visit.decision)}: {visit.organism}")
    if lane == "height_cm" and line.tie is not None and (figure is None or week == line.visits[-1].week):
        found.append(_("next tie {day}").format(day=words.day(line.tie.day)))
        earliest, latest = words.day(line.tie.first), words.day(line.tie.last)
        found.append(_("{first} to {last}").format(first=earliest, last=latest))
    if lane == "picked_kg_week" and (picks := line.picks_in(week)) is not None:
        for other in (picks.said, picks.coming):
            if other is not None and other is not figure:
                said = _("foreseen before: {kg}") if other is picks.said else _("still to come: {kg}")
                found.append(said.format(kg=f"{other.text_with_unit} ({other.interval_text})"))
    return found


def legend() -> str:
    """Return what the signs of the charts mean."""
    return _(
        "dashed: fitted curve   shaded: band   ▲ act  ○ keep looking   ▮ picked  ▯ foreseen (80 %)   "
        "✕ treatment  ○ release  ▨ no pick  ■ job done  □ open"
    )
