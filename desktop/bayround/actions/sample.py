"""Make the invented sample farm, to try the program on."""

from __future__ import annotations

import importlib
import importlib.util
import sys
from pathlib import Path
from typing import Protocol, cast

from bayround import places
from bayround.actions import farm as farm_actions
from bayround.actions import forecasts
from bayround.actions.farm import OpenFarm
from bayround.facts.problems import FarmFileProblem
from bayround.facts.season import SeasonFacts
from bayround.records import write_setup
from bayround.words import _

PACKAGE = "bayround_sample_farm"
"""Name under which the sample farm's folder is loaded; it is no part of the program's own package."""


class _Generator(Protocol):
    def generate(self, scenario_path: Path) -> SeasonFacts: ...


def write_sample(path: Path) -> OpenFarm:
    """Make a farm file with the invented season in it and open it.

    The facts are the same every time; only the file's own identity and the keys of its forecasts are new.

    Raises:
        FarmFileProblem: when something of that name exists already, or the file can't be written.
    """
    if path.exists():
        raise FarmFileProblem(
            _("{path} exists already.").format(path=path),
            kept=_("It was left as it is."),
            to_do=_("Choose another name for the sample farm."),
        )
    season = season_facts()
    made = farm_actions.create(path, season.farm.name, invented=True, currency=season.farm.currency)
    try:
        write_setup.add(made.store, *_all_but_the_farm(season))
        forecasts.keep_all(made)
    except BaseException:
        made.close()
        path.unlink(missing_ok=True)
        raise
    return made


def season_facts() -> SeasonFacts:
    """Return the facts of the invented season, without writing anything."""
    folder = places.sample_farm_dir()
    return _load_generator(folder).generate(folder / "scenario.toml")


def _load_generator(folder: Path) -> _Generator:
    """Load the generator from its folder, from a checkout and an installed program alike.

    The folder becomes a package of its own name; the search path for modules is not touched.
    """
    if PACKAGE not in sys.modules:
        spec = importlib.util.spec_from_file_location(
            PACKAGE, folder / "__init__.py", submodule_search_locations=[str(folder)]
        )
        if spec is None or spec.loader is None:
            raise FileNotFoundError(folder / "__init__.py")
        package = importlib.util.module_from_spec(spec)
        sys.modules[PACKAGE] = package
        try:
            spec.loader.exec_module(package)
        except BaseException:
            del sys.modules[PACKAGE]
            raise
    return cast(_Generator, importlib.import_module(f"{PACKAGE}.generator"))


def _all_but_the_farm(season: SeasonFacts) -> tuple[object, ...]:
    """Return every fact of a season; the farm itself is made with its file."""
    return (
        *season.people,
        *season.houses,
        *season.bays,
        *season.plantings,
        *season.marked_plants,
        *season.rounds,
        *season.visits,
        *season.readings,
        *season.pest_checks,
        *season.card_counts,
        *season.weed_notes,
        *season.jobs,
        *season.job_events,
        *season.treatments,
        *season.treatment_bays,
        *season.picks,
        *season.explanations,
        *season.climate_days,
        *season.trials,
        *season.trial_plots,
        *season.costs,
        *season.prices,
        *season.wage_rates,
        *season.plant_choices,
        *season.stand_counts,
    )
