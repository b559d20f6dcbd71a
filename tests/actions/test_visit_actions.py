"""Finishing a visit and what can't be true of a crop that was visited or picked."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import picks, rounds, setup, trials
from bayround.actions.pick_lines import PickEntry
from bayround.facts.problems import FarmFileProblem, Refused
from bayround.facts.rounds import VisitState
from bayround.facts.trials import Trial, TrialDesign, TrialPlot
from bayround.records import read_season, write_setup, write_visit
from bayround.records.check import check

NOW = datetime(2026, 10, 20, 12, tzinfo=UTC)
STAGES = {"fruit_set": 5.0, "fruit_green": 3.0, "fruit_turning": 2.0, "fruit_coloured": 1.0}


def keyed_in(small: SmallFarm, day: date = TODAY) -> str:
    """Return a draft visit of the first bay, every plant counted by stage."""
    planting = small.plantings[0]
    season = setup.read(small.open)
    marked = [plant for plant in season.marked_plants if plant.planting_id == planting.id]
    if not marked:
        marked = list(factory.plants(planting))
        write_setup.add(small.open.store, *marked)
    begun = rounds.start_round(small.open, day, small.person.id)
    visit = rounds.open_visit(small.open, begun.id, small.bays[0].id, NOW).visit
    cells = [
        (plant.id, field, value + place % 3)
        for place, plant in enumerate(marked)
        for field, value in STAGES.items()
    ]
    rounds.save_cells(small.open, visit.id, cells)
    return visit.id


def test_a_visit_is_finished_with_its_forecasts_or_stays_a_draft(
    small: SmallFarm, monkeypatch: pytest.MonkeyPatch
) -> None:
    visit_id = keyed_in(small)
    real = write_visit.row_of

    def fails(fact: object) -> dict[str, object]:
        if type(fact).__name__ == "Forecast":
            raise FarmFileProblem("The disk is full.")
        return real(fact)

    monkeypatch.setattr(write_visit, "row_of", fails)
    with pytest.raises(FarmFileProblem):
        rounds.finish(small.open, visit_id, NOW)
    season = read_season.read_season(small.open.store)
    assert (season.visits[0].state, season.forecasts) == (VisitState.DRAFT, ())
    monkeypatch.undo()
    rounds.finish(small.open, visit_id, NOW)
    season = read_season.read_season(small.open.store)
    assert season.visits[0].state is VisitState.DONE
    assert len(season.forecasts) == 4


def test_a_second_visit_on_the_same_day_is_finished_too(small: SmallFarm) -> None:
    rounds.finish(small.open, keyed_in(small), NOW)
    kept = read_season.read_season(small.open.store).forecasts
    second = factory.person(name="Birch")
    write_setup.add(small.open.store, second)
    rounds.finish(small.open, keyed_in(small), NOW)
    season = read_season.read_season(small.open.store)
    assert [visit.state for visit in season.visits] == [VisitState.DONE, VisitState.DONE]
    assert season.forecasts == kept
    assert check(small.open.store) == ()


@pytest.mark.parametrize("picked", [False, True])
def test_a_crop_is_not_removed_before_its_last_visit_or_pick(small: SmallFarm, picked: bool) -> None:
    if picked:
        picks.record(small.open, TODAY, small.bays[0].id, [PickEntry(50.0)], small.moment)
    else:
        keyed_in(small)
    planting = small.plantings[0]
    with pytest.raises(Refused, match="visited or picked on 2026-10-20"):
        setup.end_planting(small.open, planting, TODAY - timedelta(days=1), None, NOW)
    late = replace(planting, transplanted_on=TODAY + timedelta(days=1))
    with pytest.raises(Refused, match="it stood then"):
        setup.change(small.open, late, None, NOW)
    assert check(small.open.store) == ()
    setup.end_planting(small.open, planting, TODAY, None, NOW)
    assert check(small.open.store) == ()


def test_a_planting_has_no_fewer_plants_than_are_marked(small: SmallFarm) -> None:
    planting = small.plantings[0]
    write_setup.add(small.open.store, *factory.plants(planting))
    with pytest.raises(Refused, match="10 plants are marked"):
        setup.change(small.open, replace(planting, plants=9), None, NOW, "counted")
    setup.change(small.open, replace(planting, plants=12), None, NOW, "counted")
    with pytest.raises(Refused, match="12 plants"):
        setup.mark_plants(small.open, small.bays[0], replace(planting, plants=12), 3, 1, TODAY)
    assert len(setup.mark_plants(small.open, small.bays[0], replace(planting, plants=12), 2, 1, TODAY)) == 2


def test_values_of_plots_are_kept_whole_or_not_at_all(small: SmallFarm) -> None:
    trial = Trial(factory.key(), "Nets", "Which net?", TrialDesign.BLOCKS, "net", "kg", TODAY)
    plots = [TrialPlot(factory.key(), trial.id, str(number), "fine") for number in (1, 2)]
    write_setup.add(small.open.store, trial, *plots)
    with pytest.raises(Refused):
        trials.type_values(small.open, trial.id, {"1": 4.0, "2": float("inf")}, small.moment)
    season = read_season.read_season(small.open.store)
    assert ([plot.value for plot in season.trial_plots], season.corrections) == ([None, None], ())
    assert trials.type_values(small.open, trial.id, {"1": 4.0, "2": None}, small.moment) == 1
