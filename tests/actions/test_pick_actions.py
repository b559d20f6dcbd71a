"""Picks: sums and areas, what can't be right, and intervals: one minute before and after, kept explanations."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import house_checks, picks, setup, treatments
from bayround.actions.jobs import Moment
from bayround.actions.pick_lines import PickChange, PickEntry
from bayround.facts.kept import Condition, Forecast
from bayround.facts.moments import instant_of
from bayround.facts.problems import Overtaken, Refused
from bayround.facts.work import Pick
from bayround.records import write_setup
from bayround.records.check import check

FIRST = PickEntry(100.0, 500, "first", "red")


def treat(small: SmallFarm, ended: datetime, hours: float | None = 0.0, days: float | None = 0.0) -> None:
    item = factory.treatment(ended, re_entry_hours=hours, pre_harvest_days=days)
    treatments.record(small.open, item, [small.bays[0].id], small.moment)


def keep(small: SmallFarm, began: time | None = None, explanation: str = "") -> tuple[Pick, ...]:
    late = Moment(TODAY, instant_of(TODAY, time(23, 59)), small.person.id)
    return picks.record(
        small.open, TODAY, small.bays[0].id, [FIRST], late, began=began, explanation=explanation
    )


def test_kg_per_area_per_plant_and_against_the_forecast(small: SmallFarm) -> None:
    """Hand reckoning: 100 kg and 20 kg on 400 m² gross with 2,300 plants; 150 kg foreseen."""
    said = Forecast(
        factory.key(), small.plantings[0].id, date(2026, 10, 13), "2026-W43", 800, 600, 1000, 150, 110, 190
    )
    write_setup.add(small.open.store, said)
    entries = [FIRST, PickEntry(20.0, 110, "second", "red")]
    picks.record(small.open, TODAY, small.bays[0].id, entries, small.moment, picked_by_id=small.person.id)
    shown = picks.read_day(small.open, TODAY)
    assert shown.total.text_with_unit == "120.0 kg"
    figures = shown.lines[0].figures
    assert figures["picked_kg_m2"].text_with_unit == "0.30 kg/m²"
    assert figures["picked_kg_plant"].text_with_unit == "0.05 kg/plant"
    assert figures["picked_fruit_m2"].text == "1.5"
    assert figures["foreseen_kg_week"].interval_text == "110 to 190"
    assert figures["picked_of_foreseen_percent"].text_with_unit == "80 %"
    assert figures["picked_of_foreseen_percent"].says == "inside what was foreseen"
    assert any("gross" in text for _name, text in figures["picked_kg_m2"].explained())
    assert "gross" in picks.AREA_BASIS
    assert check(small.open.store) == ()


def test_a_forecast_made_within_the_week_is_no_forecast_of_it(small: SmallFarm) -> None:
    said = Forecast(
        factory.key(), small.plantings[0].id, date(2026, 10, 19), "2026-W43", 800, 600, 1000, 150, 110, 190
    )
    write_setup.add(small.open.store, said)
    figure = picks.read_day(small.open, TODAY).lines[0].figures["foreseen_kg_week"]
    assert figure.value is None
    assert "before it began" in figure.missing


def test_pre_harvest_one_minute_before_and_after(small: SmallFarm) -> None:
    treat(small, instant_of(TODAY, time(9)) - timedelta(days=3), days=3.0)
    with pytest.raises(Refused, match="no pick before 2026-10-20 09:00"):
        keep(small, time(8, 59))
    with pytest.raises(Refused):
        keep(small)
    (made,) = keep(small, time(9, 0))
    assert made.note == "began 09:00"


def test_re_entry_stops_a_pick_too_across_midnight(small: SmallFarm) -> None:
    treat(small, instant_of(TODAY, time(0, 1)) - timedelta(hours=12), hours=12.0)
    with pytest.raises(Refused, match="no re-entry before 2026-10-20 00:01"):
        keep(small)
    keep(small, time(0, 1))


def test_an_interval_that_ends_at_midnight_leaves_the_whole_day_free(small: SmallFarm) -> None:
    treat(small, instant_of(TODAY, time(0)) - timedelta(hours=12), hours=12.0)
    assert keep(small)[0].note == ""


def test_the_day_of_the_treatment_itself_is_stopped_whatever_the_hour(small: SmallFarm) -> None:
    treat(small, instant_of(TODAY, time(11)), hours=4.0)
    with pytest.raises(Refused, match="no re-entry before 2026-10-20 15:00"):
        keep(small, time(7, 0))


def test_a_pick_before_a_treatment_whose_start_is_known_is_asked_about(small: SmallFarm) -> None:
    """One minute before the start it is free and asked about; at the start, or without a time, it is stopped."""
    item = factory.treatment(
        instant_of(TODAY, time(11)),
        started_at=instant_of(TODAY, time(9, 30)),
        re_entry_hours=4.0,
        pre_harvest_days=3.0,
    )
    treatments.record(small.open, item, [small.bays[0].id], small.moment)
    line = picks.read_day(small.open, TODAY).lines[0]
    (asked,) = picks.doubt_of_start(line, TODAY, time(9, 29))
    assert "a treatment began at 2026-10-20 09:30. Was picking over before then?" in asked
    for began in (None, time(9, 30)):
        assert picks.doubt_of_start(line, TODAY, began) == []
        with pytest.raises(Refused, match="no pick before 2026-10-23 11:00"):
            keep(small, began)
    assert keep(small, time(9, 29))[0].note == "began 09:29"


def test_an_unknown_interval_counts_as_not_safe_and_the_explanation_is_kept(small: SmallFarm) -> None:
    treat(small, datetime(2026, 9, 1, 12, tzinfo=UTC), hours=1.0, days=None)
    with pytest.raises(Refused, match="counts as not safe"):
        keep(small)
    (made,) = keep(small, explanation="culls only, thrown away")
    assert "explanation: culls only, thrown away" in made.note
    assert "pre-harvest interval" in made.note
    assert picks.read_day(small.open, TODAY).lines[0].picked == (made,)


def test_a_house_with_loose_wires_is_not_picked(small: SmallFarm) -> None:
    house_checks.record(
        small.open, small.house.id, {"wires": (Condition.FAULT, "slack")}, TODAY, small.moment
    )
    with pytest.raises(Refused, match="nobody goes in until a competent person has looked"):
        keep(small)


@pytest.mark.parametrize(
    ("entry", "day", "words"),
    [
        (PickEntry(0.0), TODAY, "more than 0 kg"),
        (PickEntry(12_001.0), TODAY, "can't come from 400 m²"),
        (FIRST, TODAY + timedelta(days=1), "still to come"),
        (FIRST, date(2026, 7, 1), "No crop stands"),
    ],
)
def test_what_can_not_be_right(small: SmallFarm, entry: PickEntry, day: date, words: str) -> None:
    with pytest.raises(Refused, match=words):
        picks.record(small.open, day, small.bays[0].id, [entry], small.moment)


def test_put_right_with_a_reason(small: SmallFarm) -> None:
    (made,) = keep(small)
    right = [PickChange(made, 90.0, 500)]
    with pytest.raises(Refused, match="reason"):
        picks.record(small.open, TODAY, small.bays[0].id, [], small.moment, changes=right)
    picks.record(
        small.open, TODAY, small.bays[0].id, [], small.moment, changes=right, reason="scale read wrongly"
    )
    shown = picks.read_day(small.open, TODAY)
    assert [(entry.field, entry.before, entry.after) for entry in shown.history] == [("kg", "100.0", "90.0")]
    assert shown.lines[0].picked[0].kg == 90.0


def test_a_row_with_changes_and_new_picks_is_kept_whole_or_not_at_all(small: SmallFarm) -> None:
    (made,) = keep(small)
    second = PickEntry(20.0, 110, "second", "red")
    stale = PickChange(replace(made, kg=101.0), 80.0, 500)
    with pytest.raises(Overtaken, match=r"it is now “90[.]0”.*Your value “80[.]0”"):
        picks.record(
            small.open,
            TODAY,
            small.bays[0].id,
            [second],
            small.moment,
            changes=[PickChange(made, 90.0, 500), stale],
            reason="scale",
        )
    shown = picks.read_day(small.open, TODAY)
    assert (shown.lines[0].picked, shown.history) == ((made,), ())
    (new,) = picks.record(
        small.open,
        TODAY,
        small.bays[0].id,
        [second],
        small.moment,
        changes=[PickChange(made, 90.0, 500)],
        reason="scale",
    )
    assert {pick.kg for pick in picks.read_day(small.open, TODAY).lines[0].picked} == {90.0, new.kg}


def test_the_last_pick_is_on_the_day_the_crop_goes(small: SmallFarm) -> None:
    setup.end_planting(small.open, small.plantings[0], TODAY, None, small.moment.now)
    (made,) = keep(small)
    assert made.planting_id == small.plantings[0].id
    assert [len(line.picked) for line in picks.read_day(small.open, TODAY).lines] == [1, 0]
    tomorrow = picks.read_day(small.open, TODAY + timedelta(days=1))
    assert [line.bay_id for line in tomorrow.lines] == [small.bays[1].id]


def test_unlikely_fruit_weights_are_asked_about(small: SmallFarm) -> None:
    line = picks.read_day(small.open, TODAY).lines[0]
    assert picks.doubt(line, 100.0, 500) == ""
    assert "Is it right?" in picks.doubt(line, 100.0, 50)
    assert picks.doubt(line, 100.0, None) == ""
