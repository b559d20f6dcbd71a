"""A plant marked for what was seen on it is read like the others and is part of no mean; the seed of a draw is kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import gather
from bayround.facts.farm import PlantChoice
from bayround.facts.weeks import Week
from bayround.figures import picks, sampled
from bayround.week.bay_figures import all_figures
from bayround.week.walk_sheet import BayToWalk, build

CROPS = load_crops()
DAY = factory.FIRST_ROUND


def test_a_targeted_plant_changes_no_mean() -> None:
    past = factory.past(1)
    worst = past.plants[-1].id
    season = factory.season(past)
    readings = tuple(
        replace(row, height_cm=400.0, fruit_green=40.0) if row.marked_plant_id == worst else row
        for row in season.readings
    )
    plain = replace(season, readings=readings)
    aside = replace(plain, plant_choices=(PlantChoice(factory.key(), worst, targeted=True),))
    (seen,) = gather(aside, DAY)
    assert worst in seen.visits[0].readings
    assert worst not in sampled.values_of(seen.latest, "height_cm")
    found, taken_in = (all_figures(gather(one, DAY)[0], CROPS, DAY) for one in (aside, plain))
    assert found["height_cm"].value == pytest.approx(sum(100 + 0.5 * n for n in range(9)) / 9)
    assert taken_in["height_cm"].value != found["height_cm"].value
    assert found["height_cm"].n == 9


def test_the_forecast_leaves_it_out_also_while_the_visit_is_open() -> None:
    """An unfinished visit comes without its targets named: the bay's own list counts."""
    past = factory.past(1)
    record = past.visits[0]
    choice = PlantChoice(factory.key(), past.plants[0].id, targeted=True)
    open_visit = replace(past, visits=(), choices=(choice,))
    done = replace(past, visits=(replace(record, aside=open_visit.aside),))
    pepper = CROPS.profile("sweet_pepper")
    assert done.latest is not None
    fruit = [one.window.fruit for one in picks.forecast(open_visit, record, pepper)]
    assert fruit == pytest.approx([one.window.fruit for one in picks.forecast(done, done.latest, pepper)])


def test_the_walk_sheet_says_how_its_plants_were_chosen() -> None:
    past = factory.past(1)
    drawn = [PlantChoice(factory.key(), plant.id, seed=4711) for plant in past.plants[1:]]
    season = replace(
        factory.season(past),
        plant_choices=(*drawn, PlantChoice(factory.key(), past.plants[0].id, targeted=True)),
    )
    bay: BayToWalk = build(season, CROPS, Week.of(DAY), DAY)[0].bays[0]
    assert bay.seeds == (4711,)
    assert bay.aside == {past.plants[0].id}
