"""The story that scenario.toml tells really is in the facts. What counts as late, too many or due is read
from resources/crops, so that the story holds for the program's own limits."""

from __future__ import annotations

import tomllib
from datetime import timedelta
from statistics import fmean, median

import pytest
from sample_season import FIRST, LAST, WEEKS, Season, crop_file

from bayround import places
from bayround.facts.rounds import PlantState, VisitState
from bayround.facts.weeks import Week
from bayround.facts.work import JobKind, JobStep

NEWEST_WALKED = {"G4": LAST.plus(-1)}


def newest(bay: str) -> Week:
    """Return the newest week in which a bay was walked."""
    return NEWEST_WALKED.get(bay, LAST)


def number(crop: str, name: str) -> float:
    value: float = crop_file(crop)["numbers"][name]["value"]
    return value


def test_everything_is_marked_as_invented(season: Season) -> None:
    assert season.facts.farm.invented
    assert "invented sample farm" in season.facts.farm.name
    for treatment in season.facts.treatments:
        assert "(invented)" in treatment.product
        assert treatment.registration_number.startswith("INVENTED")
    assert all(planting.variety.startswith("Variety ") for planting in season.facts.plantings)
    assert (
        places.sample_farm_dir()
        .joinpath("scenario.toml")
        .read_text()
        .startswith("# Everything here is invented")
    )


def test_a_season_of_twenty_weeks_with_a_round_in_each(season: Season) -> None:
    held = {Week.of(held.held_on) for held in season.facts.rounds}
    assert len(WEEKS) == 20
    assert held == set(WEEKS)
    newest_days = {held.held_on.isoformat() for held in season.facts.rounds if Week.of(held.held_on) == LAST}
    assert newest_days == {"2026-11-17", "2026-11-18"}
    assert all(visit.state is VisitState.DONE for visit in season.facts.visits)


def test_every_bay_is_walked_every_week_except_the_two_that_were_missed(season: Season) -> None:
    missed = {
        (bay, str(week))
        for bay, planting in season.plantings.items()
        for week in WEEKS
        if week.monday > planting.transplanted_on and week not in season.visits[bay]
    }
    assert missed == {("T3", "2026-W41"), ("G4", "2026-W47")}
    late_from = number("sweet_pepper", "round_late_days")
    assert (LAST.sunday - season.visits["G4"][newest("G4")].visited_on).days >= late_from


def test_the_houses_hold_their_bays(season: Season) -> None:
    kinds = sorted(house.kind.value for house in season.facts.houses)
    assert kinds == ["greenhouse", "net house", "net house", "tunnel"]
    for house in season.facts.houses:
        bays = [bay for bay in season.facts.bays if bay.house_id == house.id]
        assert sum(bay.area_m2 for bay in bays) == house.length_m * house.width_m
    crops = [planting.crop for planting in season.facts.plantings]
    assert {"tomato", "cucumber"} < set(crops)
    assert crops.count("sweet_pepper") > len(crops) / 2


def test_the_houses_do_not_overlap_on_the_map(season: Season) -> None:
    houses = season.facts.houses
    for place, one in enumerate(houses):
        for other in houses[place + 1 :]:
            assert None not in (one.map_east_m, one.map_north_m, other.map_east_m, other.map_north_m)
            east = (one.map_east_m or 0) - (other.map_east_m or 0)
            north = (one.map_north_m or 0) - (other.map_north_m or 0)
            beside = east >= other.length_m or -east >= one.length_m
            behind = north >= other.width_m or -north >= one.width_m
            assert beside or behind, (one.name, other.name)


def test_the_reference_bay_has_2300_plants_on_400_m2(season: Season) -> None:
    bay, planting = season.bays["N1"], season.plantings["N1"]
    assert (bay.length_m, bay.width_m, bay.area_m2, planting.plants) == (40, 10, 400, 2300)
    assert planting.plants / bay.area_m2 == pytest.approx(5.75)


def test_marked_plants_are_spread_over_the_rows(season: Season) -> None:
    for name, bay in season.bays.items():
        planting = season.plantings[name]
        plants = [plant for plant in season.facts.marked_plants if plant.planting_id == planting.id]
        standing = [plant for plant in plants if plant.ended_on is None]
        assert len(standing) == number(planting.crop, "marked_plants_per_bay")
        assert len({(plant.row, plant.position) for plant in plants}) == len(plants)
        assert len({plant.number for plant in plants}) == len(plants)
        per_row = planting.plants // bay.rows
        assert all(1 <= plant.row <= bay.rows and 1 <= plant.position <= per_row for plant in plants)
        assert len({plant.row for plant in standing}) >= bay.rows - 1
        positions = sorted(plant.position / per_row for plant in standing)
        assert positions[0] < 0.2
        assert positions[-1] > 0.8


def test_s4_carries_far_too_much_fruit(season: Season) -> None:
    loads = {bay: season.fruit_per_m2(bay, newest(bay)) for bay in season.bays_with("sweet_pepper")}
    usual = median(loads.values())
    assert max(loads, key=lambda bay: loads[bay]) == "S4"
    assert loads["S4"] > 1.3 * usual
    band_high = crop_file("sweet_pepper")["load_band"][-1]["high_per_m2"]
    assert loads["S4"] > 1.3 * band_high
    assert all(17 <= load <= band_high for bay, load in loads.items() if bay != "S4")


def test_s3_has_not_been_tied_for_weeks(season: Season) -> None:
    gaps = {bay: season.head_above_tie_cm(bay, newest(bay)) for bay in season.bays_with("sweet_pepper")}
    assert max(gaps, key=lambda bay: gaps[bay]) == "S3"
    assert gaps["S3"] > number("sweet_pepper", "tie_urgent_cm")
    assert all(gap < number("sweet_pepper", "tie_urgent_cm") for bay, gap in gaps.items() if bay != "S3")
    ties = [season.mean("S3", week, "last_tie_cm") for week in WEEKS[-7:]]
    assert len(set(ties)) == 1


def test_aphids_start_in_one_corner_spread_to_two_bays_and_fade(season: Season) -> None:
    share = {
        bay: [season.share_infested(bay, week, "aphids") for week in WEEKS] for bay in ("S8", "S7", "S6")
    }
    assert max(share["S8"]) > 0.25
    assert all(values[-1] < 0.05 and values[-2] < 0.05 for values in share.values())
    over_a_tenth = {
        bay: next(step for step, value in enumerate(values) if value >= 0.1) for bay, values in share.items()
    }
    assert over_a_tenth["S8"] < over_a_tenth["S7"]
    assert over_a_tenth["S8"] < over_a_tenth["S6"]
    worst = WEEKS[share["S8"].index(max(share["S8"]))]
    assert season.check("S8", worst, "aphids").where == "far corner, rows 6 to 8"
    elsewhere = [bay for bay in season.bays if bay not in share]
    assert max(season.share_infested(bay, newest(bay), "aphids") for bay in elsewhere) < 0.1


def test_aphids_were_treated_by_enemies_and_by_soap(season: Season) -> None:
    against = [treatment for treatment in season.facts.treatments if treatment.target == "aphids"]
    soap = [one for one in against if one.active_ingredient == "potassium salts of fatty acids"]
    released = [one for one in against if one.biological]
    assert soap
    assert released
    assert all((one.re_entry_hours, one.pre_harvest_days) == (12, 1) for one in soap)
    assert all("invented" in one.note for one in soap)
    treated = {
        season.bay_names[one.bay_id] for one in season.facts.treatment_bays if one.treatment_id == soap[-1].id
    }
    assert treated == {"S6", "S7", "S8"}
    peak = max(WEEKS, key=lambda week: season.share_infested("S8", week, "aphids"))
    assert Week.of(min(one.ended_at.date() for one in against)) <= peak.plus(1)


def test_one_re_entry_interval_is_unknown_and_nobody_goes_in_afterwards(season: Season) -> None:
    unknown = [treatment for treatment in season.facts.treatments if treatment.re_entry_hours is None]
    assert len(unknown) == 1
    assert season.treatments("T1") == unknown
    after = unknown[0].ended_at
    assert Week.of(after.date()) == LAST
    assert not [pick for pick in season.picks("T1") if pick.picked_on > after.date()]
    assert [pick for pick in season.picks("T2") if pick.picked_on > after.date()]


def test_nobody_entered_or_picked_within_an_interval(season: Season) -> None:
    """Common caution: stay out for the re-entry interval, don't pick within the pre-harvest interval."""
    seen = 0
    for bay in season.bays:
        for treatment in season.treatments(bay):
            seen += 1
            stay_out_until = treatment.ended_at + timedelta(hours=treatment.re_entry_hours or 0)
            for visit in season.visits[bay].values():
                assert visit.started_at is not None
                assert not treatment.ended_at < visit.started_at < stay_out_until
            pick_from = (treatment.ended_at + timedelta(days=treatment.pre_harvest_days or 0)).date()
            for pick in season.picks(bay):
                assert not treatment.ended_at.date() < pick.picked_on <= pick_from
    assert seen == 12


def test_weeds_run_to_seed_in_the_corner_bay(season: Season) -> None:
    urgent = number("sweet_pepper", "weed_cover_percent_urgent")
    assert season.weeds("S1", LAST).cover_percent >= urgent
    assert season.weeds("S1", LAST).seeding
    assert not season.weeds("S1", LAST.plus(-4)).seeding
    due = number("sweet_pepper", "weed_cover_percent_act")
    assert all(season.weeds(bay, newest(bay)).cover_percent < due for bay in season.bays if bay != "S1")
    seeding = {note.visit_id for note in season.facts.weed_notes if note.seeding}
    assert seeding <= {visit.id for visit in season.visits["S1"].values()}


def test_rowan_reads_about_four_centimetres_high(season: Season) -> None:
    """Where another scout walked for one week, his heights stick out from the line between the weeks beside it."""
    off: dict[str, list[float]] = {}
    for visits in season.visits.values():
        for before, now, after in zip(WEEKS, WEEKS[1:], WEEKS[2:]):
            if not {before, now, after} <= visits.keys():
                continue
            scouts = [season.people[visits[week].scout_id] for week in (before, now, after)]
            if scouts[0] != scouts[1] and scouts[0] == scouts[2]:
                bay = season.bay_names[visits[now].bay_id]
                heights = [season.mean(bay, week, "height_cm") for week in (before, now, after)]
                off.setdefault(scouts[1], []).append(heights[1] - (heights[0] + heights[2]) / 2)
    assert len(off["Rowan"]) >= 10
    assert len(off["Alder"]) >= 10
    assert fmean(off["Rowan"]) == pytest.approx(4.0, abs=0.5)
    assert fmean(off["Alder"]) == pytest.approx(-4.0, abs=0.7)


def test_a_dead_plant_is_replaced_and_starts_a_new_series(season: Season) -> None:
    (dead,) = [reading for reading in season.facts.readings if reading.state is PlantState.DEAD]
    old = season.marked[dead.marked_plant_id]
    (new,) = [plant for plant in season.facts.marked_plants if plant.replaces_id is not None]
    (seen_on,) = [visit.visited_on for visit in season.facts.visits if visit.id == dead.visit_id]
    assert new.replaces_id == old.id
    assert old.ended_on == new.marked_on == seen_on + timedelta(days=1)
    assert old.ended_why
    assert dead.height_cm is None
    days = {visit.id: visit.visited_on for visit in season.facts.visits}
    read_on = [days[one.visit_id] for one in season.facts.readings if one.marked_plant_id == new.id]
    assert min(read_on) == seen_on + timedelta(days=7)
    assert (
        max(days[one.visit_id] for one in season.facts.readings if one.marked_plant_id == old.id) == seen_on
    )


def test_a_few_plants_were_skipped_and_a_few_notes_written(season: Season) -> None:
    skipped = [reading for reading in season.facts.readings if reading.state is PlantState.SKIPPED]
    assert 3 <= len(skipped) <= 6
    assert all(one.note and one.height_cm is None and one.fruit is None for one in skipped)
    assert len([visit for visit in season.facts.visits if visit.note]) == 3
    assert len([held for held in season.facts.rounds if held.note]) == 2


def test_jobs_follow_from_what_was_seen(season: Season) -> None:
    with (places.resources_dir() / "organisms.toml").open("rb") as file:
        aphids = next(one for one in tomllib.load(file)["organism"] if one["key"] == "aphids")
    limit = next(
        row["value"]
        for row in aphids["thresholds"]
        if row["kind"] == "incidence_percent" and row["part"] == "leaf"
    )
    for job in season.facts.jobs:
        bay, week = season.bay_names[job.bay_id], Week.of(job.raised_on)
        crop = season.plantings[bay].crop
        assert season.visits[bay][week].visited_on == job.raised_on
        if job.kind is JobKind.TRELLIS:
            assert season.head_above_tie_cm(bay, week) >= number(crop, "tie_every_cm")
        elif job.kind is JobKind.WEED:
            assert season.weeds(bay, week).cover_percent >= number(crop, "weed_cover_percent_act")
        else:
            assert job.kind is JobKind.PEST
            assert 100 * season.share_infested(bay, week, job.target) >= limit


def test_the_reason_of_a_tying_job_is_what_was_read(season: Season) -> None:
    with_number = [job for job in season.facts.jobs if " cm above the last tie; a tie is due" in job.reason]
    assert len(with_number) > 20
    for job in with_number:
        read = season.head_above_tie_cm(season.bay_names[job.bay_id], Week.of(job.raised_on))
        assert f"{read:.1f} cm" in job.reason


def test_jobs_are_handed_out_done_skipped_or_still_open(season: Season) -> None:
    last_steps = []
    for job in season.facts.jobs:
        steps = season.steps(job.id)
        assert steps[0].step is JobStep.ASSIGNED
        assert steps[0].happened_on > job.raised_on
        assert [one.happened_on for one in steps] == sorted(one.happened_on for one in steps)
        assert all(one.person_id in season.people for one in steps)
        last_steps.append(steps[-1])
    done = [one for one in last_steps if one.step is JobStep.DONE]
    assert len(done) > 20
    assert all(one.hours is not None and one.hours > 0 for one in done)
    (skipped,) = [one for one in last_steps if one.step is JobStep.SKIPPED]
    assert skipped.note
    open_in = {
        season.bay_names[job.bay_id]
        for job, last in zip(season.facts.jobs, last_steps)
        if last.step is JobStep.ASSIGNED
    }
    assert open_in == {"S1", "S3"}


def test_first_week_is_the_first_with_anything(season: Season) -> None:
    assert min(Week.of(visit.visited_on) for visit in season.facts.visits) == FIRST
    assert max(pick.picked_on for pick in season.facts.picks) <= LAST.sunday
    for day_of_house in ("North net house", "Greenhouse", "South net house", "Tunnel"):
        house = next(one for one in season.facts.houses if one.name == day_of_house)
        days = sorted(one.day for one in season.facts.climate_days if one.house_id == house.id)
        assert days[0] <= min(planting.transplanted_on for planting in season.facts.plantings)
        assert days == [days[0] + timedelta(days=step) for step in range(len(days))]
