"""Treatments: kept as typed, put right with a reason, impossible ones refused, a group used again is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import picks, treatments
from bayround.facts.bay_past import gather
from bayround.facts.problems import Overtaken, Refused
from bayround.records import read_work
from bayround.records.check import check
from bayround.records.read_season import read_season

ENDED = datetime(2026, 10, 19, 15, tzinfo=UTC)


def book(small: SmallFarm) -> treatments.TreatmentBook:
    return treatments.read(small.open, TODAY)


def test_a_treatment_is_listed_newest_first_with_its_bays_and_clocks(small: SmallFarm) -> None:
    older = factory.treatment(ENDED - timedelta(days=3), re_entry_hours=12.0, pre_harvest_days=1.0)
    newer = factory.treatment(ENDED, re_entry_hours=None, applied_by_id=small.person.id)
    treatments.record(small.open, older, [small.bays[0].id], small.moment)
    treatments.record(small.open, newer, [bay.id for bay in small.bays], small.moment)
    first, second = book(small).treatments
    assert (first.treatment, second.treatment) == (newer, older)
    assert first.bays_text == "Net house 1: Bay 1, Bay 2"
    assert first.enter_from == "not known: look at the label"
    assert first.applied_by == small.person.name
    assert check(small.open.store) == ()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"active_ingredient": " ", "product": ""}, "not said what"),
        ({"re_entry_hours": -1.0}, "re-entry interval lies between"),
        ({"re_entry_hours": 2401.0}, "re-entry interval lies between"),
        ({"pre_harvest_days": 366.0}, "pre-harvest interval lies between"),
        ({"ended_at": datetime(2026, 10, 20, 12, 2, tzinfo=UTC)}, "still to come"),
    ],
)
def test_what_can_not_be_right_is_refused(small: SmallFarm, changes: dict[str, object], words: str) -> None:
    with pytest.raises(Refused, match=words):
        treatments.record(
            small.open,
            factory.treatment(ENDED, **changes)
            if "ended_at" not in changes
            else factory.treatment(**changes),
            [small.bays[0].id],
            small.moment,  # type: ignore[arg-type]
        )
    assert book(small).treatments == ()


def test_a_treatment_without_a_bay_is_refused(small: SmallFarm) -> None:
    with pytest.raises(Refused, match="bays it covered"):
        treatments.record(small.open, factory.treatment(ENDED), [], small.moment)


def test_put_right_with_a_reason_and_bays_added_in_one_step(small: SmallFarm) -> None:
    item = factory.treatment(ENDED)
    treatments.record(small.open, item, [small.bays[0].id], small.moment)
    after = replace(item, re_entry_hours=24.0, pre_harvest_days=3.0)
    with pytest.raises(Refused, match="reason"):
        treatments.correct(small.open, item, after, small.moment, " ", [bay.id for bay in small.bays])
    assert book(small).treatments[0].bay_ids == (small.bays[0].id,)
    revision = small.open.info.revision
    treatments.correct(
        small.open, item, after, small.moment, "read the label", [bay.id for bay in small.bays]
    )
    assert small.open.info.revision == revision + 1
    (shown,) = book(small).treatments
    assert shown.treatment == after
    assert shown.bay_ids == tuple(bay.id for bay in small.bays)
    assert len(shown.history) == 3
    assert all("read the label" in line for line in shown.history)
    assert check(small.open.store) == ()
    with pytest.raises(Overtaken):
        treatments.correct(small.open, item, replace(item, re_entry_hours=4.0), small.moment, "too late")


def test_a_bay_is_taken_out_with_a_reason_and_put_in_again(small: SmallFarm) -> None:
    """Its clocks end at once, the record and its reason stay; the last bay can't be taken out."""
    item = factory.treatment(ENDED, re_entry_hours=None, mode_of_action_group="4A")
    both = [bay.id for bay in small.bays]
    treatments.record(small.open, item, both, small.moment)
    with pytest.raises(Refused, match="reason"):
        treatments.correct(small.open, item, item, small.moment, "", both[:1])
    with pytest.raises(Refused, match="at least one bay"):
        treatments.correct(small.open, item, item, small.moment, "none", [])
    treatments.correct(small.open, item, item, small.moment, "wrong bay ticked", both[:1])
    (shown,) = book(small).treatments
    assert shown.bay_ids == (both[0],)
    assert "Net house 1 · Bay 2 was taken out" in shown.history[0]
    assert shown.history[0].endswith("wrong bay ticked")
    assert [len(read_work.read_bay_treatments(small.open.store, bay_id)) for bay_id in both] == [1, 0]
    assert [bool(past.treatments) for past in gather(read_season(small.open.store), TODAY)] == [True, False]
    assert [bool(line.stopped) for line in picks.read_day(small.open, TODAY).lines] == [True, False]
    assert treatments.repeated_group(small.open, "4A", both[1:], small.moment.now) == ()
    treatments.correct(small.open, item, item, small.moment, "it was", both)
    (shown,) = book(small).treatments
    assert shown.bay_ids == tuple(both)
    assert "Bay 2 was added" in shown.history[1]
    assert check(small.open.store) == ()


def test_the_start_is_kept_and_lies_before_the_end(small: SmallFarm) -> None:
    for began in (ENDED + timedelta(minutes=1), ENDED - timedelta(hours=37)):
        with pytest.raises(Refused, match="ends after it began"):
            treatments.record(
                small.open, factory.treatment(ENDED, started_at=began), [small.bays[0].id], small.moment
            )
    item = factory.treatment(ENDED, started_at=ENDED - timedelta(hours=2))
    treatments.record(small.open, item, [small.bays[0].id], small.moment)
    assert book(small).treatments[0].treatment == item


def test_a_start_is_the_last_moment_clocks_showed_it_before_the_end() -> None:
    assert treatments.started_at(TODAY, time(22, 30), datetime(2026, 10, 20, 23, tzinfo=UTC)) == datetime(
        2026, 10, 20, 22, 30, tzinfo=UTC
    )
    over_midnight = treatments.started_at(TODAY, time(22, 30), datetime(2026, 10, 20, 1, tzinfo=UTC))
    assert over_midnight == datetime(2026, 10, 19, 22, 30, tzinfo=UTC)


def test_a_group_used_again_is_said_for_its_bays_only(small: SmallFarm) -> None:
    first = factory.treatment(ENDED - timedelta(days=14), mode_of_action_group="IRAC 4A")
    treatments.record(small.open, first, [small.bays[0].id], small.moment)
    again = treatments.repeated_group(small.open, "4a", [bay.id for bay in small.bays], ENDED)
    assert len(again) == 1
    assert again[0].startswith("Net house 1 · Bay 1: group 4A again")
    assert treatments.repeated_group(small.open, "28", [small.bays[0].id], ENDED) == ()
    assert treatments.repeated_group(small.open, "", [small.bays[0].id], ENDED) == ()
    assert treatments.repeated_group(small.open, "4A", [small.bays[0].id], ENDED, but=first.id) == ()


def test_no_caution_is_a_permission_and_none_names_a_dose() -> None:
    assert any("does not authorise" in line for line in treatments.CAUTIONS)
    assert not any(unit in " ".join(treatments.CAUTIONS).split() for unit in ("ml", "l/ha", "g/l", "kg/ha"))


def test_a_treatment_over_midnight_is_asked_about_for_swapped_times_end_the_clock_too_early() -> None:
    """Swapped, 08:00 to 11:00 reads as 21 hours that ended at 08:00: people would go in three hours early."""
    eleven, eight = (datetime(2026, 10, 19, hour).astimezone() for hour in (11, 8))
    right = factory.treatment(eleven.astimezone(UTC), started_at=eight.astimezone(UTC), re_entry_hours=12.0)
    assert treatments.doubt_of_night(right) == []
    began = treatments.started_at(eight.date(), time(11), eight)
    swapped = factory.treatment(eight.astimezone(UTC), started_at=began.astimezone(UTC), re_entry_hours=12.0)
    (asked,) = treatments.doubt_of_night(swapped)
    assert "2026-10-18 11:00" in asked
    assert "21.0 hours later" in asked
    assert "swapped" in asked
    assert treatments.doubt_of_night(factory.treatment(eleven)) == []
