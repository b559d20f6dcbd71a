"""Pick lists and climate loggers: the screen's own rules, and days whose lowest or highest may not be the real one."""

from __future__ import annotations

import math
from datetime import date, datetime, timedelta

import openpyxl
import pytest
from imports_farm import PRE_HARVEST_DAYS, TREATED_AT

from bayround.actions import picks
from bayround.actions.imports.preview import Kind, Need, State
from bayround.facts.problems import Refused
from bayround.records import read_season

LIST = """Harvest list;;;;
Date;Bay;Weight (kg);Pieces;Grade
20.11.2026;Net house 1 · Bay 2;12,5;70;first
20.11.2026;Net house 2 Bay 1;8,25;;second

24.11.2026;Net house 1 · Bay 1;30,0;170;first
24.11.2026;Net house 1 · Bay 2;14,0;20;first
24.11.2026;Net house 2 · Bay 2;-3;;
24.11.2026;Net house 2 · Bay 2;99999;;
Total;;44,75;;
"""


def kept(desk):
    return read_season.read_season(desk.farm.store)


def test_a_pick_list(desk, bring):
    preview = bring(desk.text("picks.csv", LIST))
    assert preview.kind is Kind.PICKS
    assert [item.state.value for item in preview.items] == [
        "new", "new", "refused", "doubtful", "refused", "refused", "refused",
    ]  # fmt: skip
    picked = sorted((one.kg, one.fruit, one.grade) for one in kept(desk).picks)
    assert picked == [(8.25, None, "second"), (12.5, 70, "first")]


def test_inside_the_interval_it_is_refused_as_on_the_screen(desk, look, bring):
    path = desk.text("picks.csv", LIST)
    inside = next(item for item in look(path).items if "Net house 1 · Bay 1" in item.what)
    assert inside.state is State.REFUSED
    day = date(2026, 11, 24)
    line = next(one for one in picks.read_day(desk.farm, day).lines if one.name == "Net house 1 · Bay 1")
    with pytest.raises(Refused) as on_screen:
        picks.record(desk.farm, day, line.bay_id, [picks.PickEntry(30.0, 170, "first")], desk.moment)
    assert inside.why == f"{on_screen.value.message} {on_screen.value.to_do}"
    last = (TREATED_AT + timedelta(days=PRE_HARVEST_DAYS)).strftime("%Y-%m-%d %H:%M")
    assert f"no pick before {last}" in inside.why
    bring(path, explanation="picked to be thrown away")
    notes = [one.note for one in kept(desk).picks if one.kg == 30.0]
    assert len(notes) == 1
    assert f"no pick before {last}" in notes[0]
    assert "picked to be thrown away" in notes[0]


def test_the_same_list_twice_doubles_nothing(desk, bring, look):
    path = desk.text("picks.csv", LIST)
    bring(path, doubtful=True)
    assert len(kept(desk).picks) == 3
    again = look(path, doubtful=True)
    assert (again.added, again.changes) == ((), ())
    longer = bring(desk.text("longer.csv", LIST + "21.11.2026;Net house 1 · Bay 2;9,0;50;first\n"))
    assert [(one.kg, one.picked_on) for one in longer.added] == [(9.0, date(2026, 11, 21))]


def test_two_rows_alike_and_a_second_pick_of_the_day_are_asked_about(desk, bring, look):
    head = "date,bay,kg,grade\n"
    row = "2026-11-20,Net house 1 · Bay 2,12.5,first\n"
    twice = look(desk.text("twice.csv", head + row + row))
    assert [item.state for item in twice.items] == [State.NEW, State.DOUBTFUL]
    bring(desk.text("once.csv", head + row))
    more = look(desk.text("more.csv", head + row.replace("12.5", "4.5")))
    assert [item.state for item in more.items] == [State.DOUBTFUL]
    assert "12.5 kg of this grade and colour are written down" in more.items[0].why


def test_a_comma_that_may_part_thousands(desk, look):
    head = "date;bay;kg\n"
    row = "2026-11-20;Net house 1 · Bay 2;1,250\n"
    assert [item.state for item in look(desk.text("a.csv", head + row)).items] == [State.DOUBTFUL]
    other = row.replace("1,250", "12,5").replace("Bay 2", "Bay 1")
    assert [item.state for item in look(desk.text("b.csv", head + row + other)).items] == [
        State.NEW,
        State.NEW,
    ]


def test_pounds_and_grams(desk, bring):
    bring(desk.text("g.csv", "date,bay,weight (g)\n2026-11-20,Net house 1 · Bay 2,12500\n"))
    bring(desk.text("lb.csv", "date,bay,weight [lb]\n2026-11-21,Net house 1 · Bay 2,10\n"))
    # The international pound is 0.45359237 kg: NIST Special Publication 811, appendix B.8.
    assert sorted(one.kg for one in kept(desk).picks) == [4.536, 12.5]


def logger_lines(first: date, days: int, step_minutes: int = 60, unit: str = "C") -> list[str]:
    """A logger's file: coldest (10 °C) at five, hottest (30 °C) at fifteen o'clock."""
    lines = [f"Timestamp,Temp (°{unit}),Humidity (%)"]
    at = datetime.combine(first, datetime.min.time())
    for _step in range(days * 24 * 60 // step_minutes):
        hour = at.hour + at.minute / 60
        value = 10 + 20 * max(0.0, 1 - abs(hour - 15) / 10)
        value = value * 1.8 + 32 if unit == "F" else value
        lines.append(f"{at:%d/%m/%Y %H:%M},{value:.2f},70")
        at += timedelta(minutes=step_minutes)
    return lines


@pytest.mark.parametrize("unit", ["C", "F"])
def test_a_logger_becomes_days(desk, bring, unit):
    lines = logger_lines(date(2026, 11, 12), 4, unit=unit)
    preview = bring(desk.text("Net house 2.csv", "\n".join(lines), "utf-8-sig"))
    assert preview.kind is Kind.CLIMATE
    days = kept(desk).climate_days
    assert sorted((one.day.day, one.low_c, one.high_c) for one in days) == [
        (day, 10.0, 30.0) for day in (12, 13, 14, 15)
    ]
    house = {house.id: house.name for house in kept(desk).houses}
    assert {house[one.house_id] for one in days} == {"Net house 2"}


def test_the_house_is_asked_for_and_the_rest_doubles_nothing(desk, look, bring):
    path = desk.text("log.csv", "\n".join(logger_lines(date(2026, 11, 12), 2)))
    assert look(path).needs == (Need.HOUSE,)
    house = next(one for one in kept(desk).houses if one.name == "Net house 1")
    bring(path, house_id=house.id)
    again = look(path)
    assert again.house_id == house.id  # remembered with the layout
    assert (again.added, again.changes, again.count(State.SAME)) == ((), (), 2)


def test_part_of_a_day_a_broken_sensor_and_a_stuck_one(desk, look, bring):
    lines = logger_lines(date(2026, 11, 12), 5)
    del lines[1:9]  # the first day begins at eight
    lines[30] = lines[30].rsplit(",", 2)[0] + ",-999,70"
    stuck = "14/11/2026"
    lines = [f"{line.split(',')[0]},21.00,70" if line.startswith(stuck) else line for line in lines]
    path = desk.text("log.csv", "\n".join(lines))
    house = next(one for one in kept(desk).houses if one.name == "Net house 1")
    preview = look(path, house_id=house.id)
    doubts = {item.where[-10:]: item.why for item in preview.items if item.state is State.DOUBTFUL}
    assert set(doubts) == {"2026-11-12", "2026-11-13", "2026-11-14"}
    assert doubts["2026-11-12"].startswith("only part of the day: 08:00 to 23:00")
    assert "stuck sensor" in doubts["2026-11-14"]
    assert len(preview.added) == 2
    bring(path, house_id=house.id, doubtful=True)
    assert len(kept(desk).climate_days) == 5


def test_lowest_and_highest_as_a_table_and_a_day_put_right(desk, bring):
    book = openpyxl.Workbook()
    book.active.append(["Day", "House", "Min temp °C", "Max temp °C"])
    book.active.append([date(2026, 11, 12), "Net house 1", 9.5, 31.0])
    book.active.append([datetime(2026, 11, 13), 1, "10,5", "29,0"])
    book.active.append([date(2026, 11, 14), "Net house 1", 35, 12])
    path = desk.folder / "days.xlsx"
    book.save(path)
    preview = bring(path)
    assert [item.state for item in preview.items] == [State.NEW, State.NEW, State.REFUSED]
    book.active["C2"], book.active["D2"] = 32.5, 34.5  # above the old highest: both change at once
    book.save(path)
    assert [item.state for item in bring(path).items].count(State.CHANGED) == 1
    season = kept(desk)
    assert sorted((one.low_c, one.high_c) for one in season.climate_days) == [(10.5, 29.0), (32.5, 34.5)]
    assert {(one.field, one.before, one.after) for one in season.corrections} == {
        ("low_c", "9.5", "32.5"), ("high_c", "31.0", "34.5"),
    }  # fmt: skip


def fao_lines(on: date) -> list[str]:
    """A day between 18 °C at 82 % and 25 °C at 54 % (FAO-56, example 5), light as half a sine of 500 µmol/m²/s."""
    lines = ["Time,Temp (°C),RH (%),PAR (µmol/m²/s)"]
    for hour in range(24):
        warm = hour >= 12
        light = max(0.0, 500 * math.sin(math.pi * (hour - 6) / 12))
        lines.append(f"{on} {hour:02d}:00,{25 if warm else 18},{54 if warm else 82},{light:.3f}")
    return lines


def test_a_logger_brings_humidity_the_mean_deficit_and_the_light_of_the_day(desk, look, bring):
    """FAO-56 equation 11: e(18) = 2.064, e(25) = 3.168 kPa (examples 5); each half a day makes the mean of two deficits.

    The light: half a sine over twelve hours is 2/π of its top, 13.75 mol/m²; the hourly trapezoid lies 0.6 % below.
    """
    bring(desk.text("Net house 2.csv", "\n".join(fao_lines(date(2026, 11, 12)))))
    (day,) = kept(desk).climate_days
    assert (day.low_c, day.high_c, day.humidity_low_percent, day.humidity_high_percent) == (18, 25, 54, 82)
    assert day.vapour_pressure_deficit_kpa == pytest.approx((2.064 * 0.18 + 3.168 * 0.46) / 2, abs=0.001)
    assert day.light_mol_m2 == pytest.approx(500 * 2 / math.pi * 12 * 3600 / 1e6, rel=0.007)
    assert look(desk.folder / "Net house 2.csv").count(State.SAME) == 1


def test_light_and_humidity_of_their_own_join_the_days_that_are_kept(desk, look, bring):
    bring(desk.text("a.csv", "date,house,min temp,max temp\n2026-11-12,Net house 1,12,25\n"))
    rows = "date,house,DLI (mol/m²/d),min RH %,max RH %\n2026-11-12,Net house 1,14.2,54,82\n2026-11-13,Net house 1,9,50,90\n"
    preview = bring(desk.text("b.csv", rows))
    assert [(item.state, item.why) for item in preview.items] == [
        (State.CHANGED, ""), (State.REFUSED, "no temperature"),
    ]  # fmt: skip
    (day,) = kept(desk).climate_days
    assert (day.low_c, day.high_c, day.humidity_low_percent, day.humidity_high_percent) == (12, 25, 54, 82)
    assert (day.light_mol_m2, day.vapour_pressure_deficit_kpa) == (14.2, None)


def test_a_gap_in_the_middle_of_the_only_day_is_no_whole_day(desk, look, bring):
    """Light summed across the lost noon would be 0: neither light nor the highest temperature is known."""
    lines = fao_lines(date(2026, 11, 12))
    path = desk.text("Net house 2.csv", "\n".join(lines[:8] + lines[19:]))  # 07:00 to 17:00 are lost
    (item,) = look(path).items
    assert (item.state, look(path).added) == (State.DOUBTFUL, ())
    assert item.why.startswith("no values for 12.0 hours from 06:00 on")
    bring(path, doubtful=True)
    (day,) = kept(desk).climate_days
    assert (day.low_c, day.light_mol_m2) == (18, None)


def test_light_alone_with_a_gap_is_not_summed(desk, look, bring):
    bring(desk.text("a.csv", "date,house,min temp,max temp\n2026-11-12,Net house 1,12,25\n"))
    lines = [",".join((line.split(",")[0], line.split(",")[3])) for line in fao_lines(date(2026, 11, 12))]
    house = next(one for one in kept(desk).houses if one.name == "Net house 1")
    gap = desk.text("gap.csv", "\n".join(lines[:8] + lines[19:]))
    assert look(gap, house_id=house.id).changes == ()
    whole = desk.text("whole.csv", "\n".join(lines))
    assert [one.field for one in look(whole, house_id=house.id).changes] == ["light_mol_m2"]


def test_a_running_sum_of_light_counts_at_its_latest_hour_also_newest_first(desk, bring):
    rows = [f"2026-11-12 {hour:02d}:00,{15 + hour % 9},{hour * 0.5}" for hour in reversed(range(24))]
    bring(desk.text("Net house 2.csv", "\n".join(["Time,Temp (°C),DLI (mol/m²/d)", *rows])))
    assert [one.light_mol_m2 for one in kept(desk).climate_days] == [11.5]


def test_a_broken_humidity_sensor_spoils_neither_temperature_nor_light(desk, bring):
    lines = fao_lines(date(2026, 11, 12))
    lines[5] = lines[5].replace(",82,", ",-40,")
    preview = bring(desk.text("Net house 2.csv", "\n".join(lines)))
    assert "-40 % can't be" in next(item.why for item in preview.items if item.state is State.REFUSED)
    (day,) = kept(desk).climate_days
    assert (day.low_c, day.humidity_low_percent, day.vapour_pressure_deficit_kpa) == (18, None, None)
    assert day.light_mol_m2 is not None


@pytest.mark.parametrize("heading", ["PAR (lux)", "PAR (W/m²)"])
def test_light_in_a_unit_that_is_no_photosynthetic_light_is_not_guessed(desk, look, heading):
    lines = fao_lines(date(2026, 11, 12))
    lines[0] = lines[0].replace("PAR (µmol/m²/s)", heading)
    assert look(desk.text("Net house 2.csv", "\n".join(lines))).needs == (Need.COLUMNS,)


def test_lowest_of_a_day_is_no_reading(desk, look):
    """“Min air temperature” and “max relative humidity” are days' extremes, whatever word stands between."""
    lines = ["date,house,min air temperature,max air temperature", "2026-11-12,Net house 1,12,25"]
    assert {one.holds for one in look(desk.text("x.csv", "\n".join(lines))).columns} >= {"day", "house"}
    assert "temperature" not in {one.holds for one in look(desk.text("x.csv", "\n".join(lines))).columns}
