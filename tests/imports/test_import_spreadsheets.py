"""Spreadsheets as people keep them: titles above, merged headings, units, decimal commas, day first, serial dates, gaps."""

from __future__ import annotations

from datetime import date

import openpyxl
from imports_farm import numbers

from bayround.actions.imports import matching
from bayround.actions.imports.preview import Kind, Need, Options, State
from bayround.facts.rounds import VisitState
from bayround.records import read_season

DAY = date(2026, 11, 23)
SERIAL = 46349  # 2026-11-23: ECMA-376 part 1, 18.17.4.1 (2026-12-28 is 46384, checked with openpyxl)


HEAD = (
    ("Date", "House", "Bay", "Plant", "Height (mm)", "Last tie, cm", "Flowers", "Fruit", None, None, None, "Remarks"),
    (None, None, None, "no.", None, None, "open", "set", "green", "turning", "coloured", None),
)  # fmt: skip


def kept_book(path, day=DAY, heading="Height (mm)"):
    """A workbook with a title, two heading rows with merged cells, a merged bay, blank rows and a mean at the end."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet["A1"] = "Weekly notes"
    sheet.append([])
    for row in HEAD:
        sheet.append([heading if cell == "Height (mm)" else cell for cell in row])
    for plant in range(1, 6):
        values = numbers(1, plant, 2)
        tie = f"{values['last_tie_cm']:.1f}".replace(".", ",")
        place = [day, "Net house 1", "Bay 1"] if plant == 1 else [None] * 3
        counts = [
            values[key] for key in ("flowers", "fruit_set", "fruit_green", "fruit_turning", "fruit_coloured")
        ]
        sheet.append(
            [*place, plant, values["height_cm"] * 10, tie, *counts, "leaning" if plant == 2 else None]
        )
        if plant == 3:
            sheet.append([])
    sheet.append([None, None, "Mean", None, 1000])
    for cells in ("H3:K3", "A3:A4", "B3:B4", "C3:C4", "A5:A10", "B5:B10", "C5:C10"):
        sheet.merge_cells(cells)
    book.save(path)
    return path


def readings_of(desk, day=DAY):
    season = read_season.read_season(desk.farm.store)
    visits = {one.id: one for one in season.visits if one.visited_on == day}
    plants = {plant.id: plant.number for plant in season.marked_plants}
    return visits, {plants[one.marked_plant_id]: one for one in season.readings if one.visit_id in visits}


def test_merged_headings_units_and_commas(desk, bring):
    preview = bring(kept_book(desk.folder / "kept.xlsx"))
    assert preview.kind is Kind.READINGS
    held = {column.heading: column.holds for column in preview.columns}
    assert held["Height (mm)"] == "height_cm"
    assert held["Fruit green"] == "fruit_green"
    assert held["Plant no."] == "plant"
    visits, readings = readings_of(desk)
    assert [one.state for one in visits.values()] == [VisitState.DRAFT]
    for plant, reading in readings.items():
        expected = numbers(1, plant, 2)
        assert {key: reading.value(key) for key in expected} == expected
    assert readings[2].note == "leaning"
    assert [item.why for item in preview.items if item.state is State.REFUSED] == [
        "a sum or a mean, not a plant"
    ]


def test_the_same_spreadsheet_twice_doubles_nothing(desk, bring, look):
    path = kept_book(desk.folder / "kept.xlsx")
    bring(path)
    again = look(path)
    assert (again.added, again.changes, again.count(State.SAME)) == ((), (), 5)


def test_serial_dates_and_finishing(desk, bring):
    bring(kept_book(desk.folder / "kept.xlsx", day=SERIAL), finish=True)
    visits, readings = readings_of(desk)
    assert len(readings) == 5
    assert [one.state for one in visits.values()] == [VisitState.DONE]


def test_a_clean_history_is_finished_when_asked(desk, bring):
    lines = ["date;house;bay;plant;height"]
    for day in (date(2026, 11, 20), date(2026, 11, 23)):
        lines += [f"{day:%d.%m.%Y};1;1;{plant};{98 + plant + day.day - 20}" for plant in range(1, 6)]
    preview = bring(desk.text("history.csv", "\n".join(lines)), finish=True)
    assert preview.count(State.NEW) == 10
    for day in (date(2026, 11, 20), date(2026, 11, 23)):
        visits, readings = readings_of(desk, day)
        assert [one.state for one in visits.values()] == [VisitState.DONE]
        assert len(readings) == 5


def test_an_unknown_unit_is_asked_about(desk, look):
    asked = look(kept_book(desk.folder / "kept.xlsx", heading="Height (spans)"))
    assert asked.needs == (Need.COLUMNS,)
    assert not asked.anything


def test_columns_are_matched_by_a_person_and_remembered(desk, bring, look):
    text = "when;place;which;how tall\n23.11.2026;Net house 1 · Bay 2;1;104,5\n"
    path = desk.text("own.csv", text)
    asked = look(path)
    assert asked.needs == (Need.KIND,)
    columns = {1: "day", 2: "bay", 3: "plant", 4: "height_cm"}
    preview = bring(path, kind=Kind.READINGS, columns=columns)
    assert preview.count(State.NEW) == 1
    other = desk.text(
        "next.csv", text.replace("104,5", "107,5").replace("which;", "which;").replace("23.11", "24.11")
    )
    known = look(other)
    assert known.remembered
    assert known.needs == ()
    assert {column.number: column.holds for column in known.columns} == columns
    assert known.count(State.NEW) == 1
    assert readings_of(desk)[1][1].height_cm == 104.5


def test_day_first_unless_the_file_shows_otherwise(desk, look):
    head = "date,house,bay,plant,height\n"
    open_order = look(desk.text("a.csv", head + "03/11/2026,1,1,1,100\n"))
    assert "2026-11-03" in open_order.items[0].where
    assert any("day first" in note for note in open_order.notes)
    shown = look(desk.text("b.csv", head + "11/03/2026,1,1,1,100\n11/17/2026,1,1,1,101\n"))
    assert {item.where[-10:] for item in shown.items} == {"2026-11-03", "2026-11-17"}
    said = look(desk.text("a.csv", head + "11/03/2026,1,1,1,100\n"), month_first=True)
    assert "2026-11-03" in said.items[0].where


def test_rows_that_can_not_be_placed_say_why(desk, look):
    text = (
        "date,house,bay,plant,height\n2026-11-23,1,Bay 9,1,100\n2026-11-23,,Bay 1,1,100\nsoon,1,Bay 1,1,100\n"
        "2026-12-24,1,Bay 1,1,100\n2026-11-23,1,Bay 1,77,100\n2026-11-23,1,Bay 1,1,100\n2026-11-23,1,Bay 1,1,101\n"
        "2026-11-23,1,Bay 1,2,700\n2026-11-23,1,Bay 1,3,tall\n"
    )
    items = look(desk.text("odd.csv", text)).items
    whys = " | ".join(item.why for item in items)
    for words in (
        "no bay is called “Bay 9”", "several bays are called “Bay 1”", "no day can be read", "still to come",
        "no plant with the number 77", "stands in row 7 already", "can't be right: 1 to 500 cm", "words where a number belongs",
    ):  # fmt: skip
        assert words in whys, words


def test_a_bay_name_that_became_a_date(desk, look):
    book = openpyxl.Workbook()
    book.active.append(["date", "bay", "plant", "height"])
    book.active.append([DAY, date(2026, 2, 1), 1, 100])
    book.save(desk.folder / "a.xlsx")
    assert [item.why for item in look(desk.folder / "a.xlsx").items] == [
        "a spreadsheet took the name of the bay for a date"
    ]


def test_doubtful_values_go_into_the_draft_and_are_told(desk, bring):
    lines = ["date,house,bay,plant,height"]
    lines += [
        f"2026-11-24,1,1,{plant},{1015 if plant == 2 else 101 + plant}".replace("1015", "151")
        for plant in range(1, 6)
    ]
    preview = bring(desk.text("odd.csv", "\n".join(lines)))
    doubtful = [item for item in preview.items if item.state is State.DOUBTFUL]
    assert len(doubtful) == 1
    assert "plant 2" in doubtful[0].what
    assert readings_of(desk, date(2026, 11, 24))[1][2].height_cm == 151


def test_every_part_of_a_kind_has_a_label():
    for parts in matching.PARTS.values():
        assert all(matching.label(part) for part in parts)
    assert Options().columns is None
