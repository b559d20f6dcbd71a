"""Treatments: kept as typed, put right with a reason, impossible ones refused, a group used again is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from actions_farm import TODAY, SmallFarm

import factory
from bayround.actions import treatments
from bayround.facts.problems import Overtaken, Refused
from bayround.records.check import check

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
        treatments.correct(small.open, item, after, small.moment, " ", [small.bays[1].id])
    assert book(small).treatments[0].bay_ids == (small.bays[0].id,)
    revision = small.open.info.revision
    treatments.correct(small.open, item, after, small.moment, "read the label", [small.bays[1].id])
    assert small.open.info.revision == revision + 1
    (shown,) = book(small).treatments
    assert shown.treatment == after
    assert shown.bay_ids == tuple(bay.id for bay in small.bays)
    assert len(shown.history) == 3
    assert all("read the label" in line for line in shown.history)
    assert check(small.open.store) == ()
    with pytest.raises(Overtaken):
        treatments.correct(small.open, item, replace(item, re_entry_hours=4.0), small.moment, "too late")


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
