"""Which screen has which name; each is imported only when it is first gone to."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bayround.window.desk import Desk
from bayround.window.parts.screen import Screen

MakeScreen = Callable[[Desk], Screen]


def _week(desk: Desk) -> Screen:
    from bayround.window.week.week_screen import WeekScreen

    return WeekScreen(desk)


def _visit(desk: Desk) -> Screen:
    from bayround.window.visit.screen import VisitScreen

    return VisitScreen(desk)


def _bay(desk: Desk) -> Screen:
    from bayround.window.bay.bay_screen import BayScreen

    return BayScreen(desk)


def _jobs(desk: Desk) -> Screen:
    from bayround.window.jobs.jobs_screen import JobsScreen

    return JobsScreen(desk)


def _farm(desk: Desk) -> Screen:
    from bayround.window.farm.farm_screen import FarmScreen

    return FarmScreen(desk)


def _treatments(desk: Desk) -> Screen:
    from bayround.window.treatments.screen import TreatmentsScreen

    return TreatmentsScreen(desk)


def _profiles(desk: Desk) -> Screen:
    from bayround.window.profiles.profiles_screen import ProfilesScreen

    return ProfilesScreen(desk)


def _picks(desk: Desk) -> Screen:
    from bayround.window.picks.screen import PicksScreen

    return PicksScreen(desk)


def _house(desk: Desk) -> Screen:
    from bayround.window.house.screen import HouseScreen

    return HouseScreen(desk)


def _climate(desk: Desk) -> Screen:
    from bayround.window.climate.screen import ClimateScreen

    return ClimateScreen(desk)


def _trials(desk: Desk) -> Screen:
    from bayround.window.trials.screen import TrialsScreen

    return TrialsScreen(desk)


def _season(desk: Desk) -> Screen:
    from bayround.window.season.screen import SeasonScreen

    return SeasonScreen(desk)


SCREENS: Mapping[str, MakeScreen] = {
    "week": _week,
    "visit": _visit,
    "bay": _bay,
    "jobs": _jobs,
    "farm": _farm,
    "treatments": _treatments,
    "picks": _picks,
    "house": _house,
    "climate": _climate,
    "profiles": _profiles,
    "trials": _trials,
    "season": _season,
}
