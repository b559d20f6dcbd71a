"""What a season lets the owner know, what it only lets them suspect, and what it leaves open, in sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bayround import words
from bayround.agronomy import sampling
from bayround.agronomy.refusals import Refused
from bayround.facts.trials import Trial
from bayround.figures.figure import Figure
from bayround.figures.money import MoneyLineOfGroup
from bayround.figures.season import SeasonLine
from bayround.figures.trial_report import TrialReport
from bayround.words import _


@dataclass(frozen=True, slots=True)
class ReplantLine:
    """One variety of a crop: what it brought and earned, and what that rests on. *place* 1 earned most."""

    crop: str
    label: str
    place: int
    bays: int
    kg_m2: Figure
    margin_m2: Figure
    cost_kg: Figure
    rests_on: str


@dataclass(frozen=True, slots=True)
class Findings:
    """*known* is counted or tested; *suspected* was seen without a fair test; *open* is not known at all."""

    replant: tuple[ReplantLine, ...]
    known: tuple[str, ...]
    suspected: tuple[str, ...]
    open: tuple[str, ...]


def findings(
    varieties: Sequence[SeasonLine],
    kinds: Sequence[SeasonLine],
    money: Sequence[MoneyLineOfGroup],
    trials: Sequence[TrialReport],
    crops: Mapping[str, str],
) -> Findings:
    """Return the findings of a season; *money* by variety, *crops* maps keys to names."""
    return Findings(
        replant=_replant(varieties, money, trials),
        known=(*_counted(varieties, money, crops), *_tested(trials)),
        suspected=(*_seen(varieties, crops), *_seen(kinds, crops), *_described(trials)),
        open=_open(varieties, money, trials),
    )


def _replant(
    varieties: Sequence[SeasonLine], money: Sequence[MoneyLineOfGroup], trials: Sequence[TrialReport]
) -> tuple[ReplantLine, ...]:
    earned = {(line.crop, line.label): line for line in money}
    found: list[ReplantLine] = []
    for crop in dict.fromkeys(line.crop for line in varieties):
        own = [line for line in varieties if line.crop == crop]
        own.sort(key=lambda line: _rank(line, earned[line.crop, line.label]), reverse=True)
        for place, line in enumerate(own, start=1):
            cash = earned[line.crop, line.label].figures
            found.append(
                ReplantLine(
                    crop=crop,
                    label=line.label,
                    place=place,
                    bays=line.bays,
                    kg_m2=line.figures["season_kg_m2"],
                    margin_m2=cash["money_margin_m2"],
                    cost_kg=cash["money_cost_kg"],
                    rests_on=_rests_on(line, trials),
                )
            )
    return tuple(found)


def _rank(line: SeasonLine, cash: MoneyLineOfGroup) -> tuple[bool, float]:
    """By margin where anything has a price; after those, by kilograms: the two can't be set against each other."""
    if cash.income:
        return True, cash.figures["money_margin_m2"].value or 0.0
    return False, line.figures["season_kg_m2"].value or 0.0


def _rests_on(line: SeasonLine, trials: Sequence[TrialReport]) -> str:
    told = words.counted("{n} bay, a hint only", "{n} bays, not drawn by lot", line.bays)
    names = [
        report.trial.name
        for report in trials
        if report.tested is not None
        and any(names_variety(line.label, mean.treatment) for mean in report.means)
    ]
    return f"{told}; {_('tested in')} {words.listing(names)}" if names else told


def names_variety(label: str, treatment: str) -> bool:
    """Tell whether a treatment is a variety: the name itself or whole words of it, no single letter or number."""
    named, wanted = label.casefold().split(), treatment.casefold().split()
    if named == wanted:
        return True
    ends = range(len(named) - len(wanted) + 1)
    return len("".join(wanted)) > 2 and any(named[at : at + len(wanted)] == wanted for at in ends)


def _counted(
    varieties: Sequence[SeasonLine], money: Sequence[MoneyLineOfGroup], crops: Mapping[str, str]
) -> list[str]:
    told = []
    for crop in dict.fromkeys(line.crop for line in varieties):
        own = [line for line in varieties if line.crop == crop]
        area = sum(line.figures["season_area_m2"].value or 0.0 for line in own)
        kg = sum(line.figures["season_kg"].value or 0.0 for line in own)
        text = _("{crop}: {kg} kg picked from {area} m², {each} kg/m².").format(
            crop=crops[crop],
            kg=words.number(kg, 0),
            area=words.number(area, 0),
            each=words.number(kg / area, 2),
        )
        cash = [line for line in money if line.crop == crop]
        if any(line.income for line in cash):
            margin = sum((line.margin.margin for line in cash), start=cash[0].margin.margin * 0)
            unit = cash[0].figures["money_margin"].unit
            text += " " + _("Gross margin {amount} {unit}, {each} {unit}/m².").format(
                amount=words.number(float(margin), 2), unit=unit, each=words.number(float(margin) / area, 2)
            )
        told.append(text)
    return told


def _tested(trials: Sequence[TrialReport]) -> list[str]:
    return [_trial(report) for report in trials if report.tested is not None]


def _described(trials: Sequence[TrialReport]) -> list[str]:
    return [_trial(report) for report in trials if report.tested is None]


def _trial(report: TrialReport) -> str:
    trial: Trial = report.trial
    running = "" if trial.ended_on else " " + _("It still runs: looks in between find more by chance.")
    return _("Trial “{name}”: {verdict}").format(name=trial.name, verdict=report.verdict) + running


def _seen(lines: Sequence[SeasonLine], crops: Mapping[str, str]) -> list[str]:
    """Tell how the best group of two bays or more stands above the others; groups of one bay are only named."""
    told = []
    for crop in dict.fromkeys(line.crop for line in lines):
        own = [line for line in lines if line.crop == crop and line.figures["season_kg_m2"].value is not None]
        own.sort(key=lambda line: -(line.figures["season_kg_m2"].value or 0.0))
        several = [line for line in own if line.bays > 1]
        single = [line for line in own if line.bays == 1]
        told += [_pair(several[0], other, crops[crop]) for other in several[1:]]
        if single and len(own) > 1:
            told.append(_of_one_bay(single, crops[crop]))
    return told


def _of_one_bay(single: Sequence[SeasonLine], crop: str) -> str:
    named = [f"{line.label} {line.figures['season_kg_m2'].text_with_unit}" for line in single]
    return _("{crop}: a hint only, for each stood in one bay: {names}.").format(
        crop=crop, names=words.listing(named)
    )


def _pair(best: SeasonLine, other: SeasonLine, crop: str) -> str:
    one, two = _kg_m2(best), _kg_m2(other)
    said = _("{crop}: {first} brought more than {second}, {more} against {less} kg/m²").format(
        crop=crop,
        first=best.label,
        second=other.label,
        more=best.figures["season_kg_m2"].text,
        less=other.figures["season_kg_m2"].text,
    )
    found = sampling.compare_bays(one, two)
    if isinstance(found, Refused):
        return f"{said}."
    interval = _("mean difference of their bays {value} ({low} to {high}; {n} and {m} bays)").format(
        value=words.number(found.difference, 2),
        low=words.number(found.low, 2),
        high=words.number(found.high, 2),
        n=len(one),
        m=len(two),
    )
    judged = (
        _("More than bays of one kind differ among themselves, but the place may have done it.")
        if found.told_apart
        else _("That may be chance.")
    )
    return f"{said}; {interval}. {judged}"


def _kg_m2(line: SeasonLine) -> list[float]:
    return [one.kg / one.bay.area_m2 for one in line.plantings]


def _open(
    varieties: Sequence[SeasonLine], money: Sequence[MoneyLineOfGroup], trials: Sequence[TrialReport]
) -> tuple[str, ...]:
    told = [f"{line.label}: {note}" for line in money for note in line.notes]
    uncounted = [line.label for line in varieties if line.figures["season_fruit_m2"].value is None]
    if uncounted:
        told.append(
            _("Fruit was not counted at every pick of: {names}.").format(names=words.listing(uncounted))
        )
    if not any(line.income for line in money):
        told.append(_("No pick has a price, so nothing is said about money."))
    if not any(report.tested for report in trials):
        told.append(
            _("No trial tests a difference. Lay one out before planting: several plots each, drawn by lot.")
        )
    told += [
        _("Trial “{name}”: {text}").format(name=report.trial.name, text=text)
        for report in trials
        for text in report.cannot[:1]
    ]
    return tuple(dict.fromkeys(told))
