"""Walk sheets, job sheets and the walk workbook: nothing is left out, nothing is cut, nothing becomes a formula."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import cycle

import openpyxl
import paper_weeks as weeks
import pytest

from bayround.agronomy import sequential
from bayround.crops.profile import Crops
from bayround.facts.weeks import Week
from bayround.figures import stop_words
from bayround.paper.pages import job_pages, walk_pages
from bayround.paper.pages.drawing import A4, LETTER, MARGIN_MM, Box, Document, Line, Text
from bayround.paper.pages.paging import Block, Part, onto_pages
from bayround.paper.walk_book import book, places
from bayround.week import job_sheet, walk_sheet
from bayround.week.walk_sheet import WalkSheet

COMING = Week(2026, 48)


def walks(crops: Crops = weeks.CROPS, **how: object) -> tuple[WalkSheet, ...]:
    return walk_sheet.build(weeks.season(**how), crops, COMING, weeks.WEEK.sunday)  # type: ignore[arg-type]


def outside(document: Document) -> list[object]:
    """Return what lies beyond the margins of its page."""
    right, bottom = document.paper.width_mm - MARGIN_MM + 0.01, document.paper.height_mm - MARGIN_MM + 0.01
    found: list[object] = []
    for page in document.pages:
        for item in page.items:
            x, y = (
                (item.to_x, item.to_y)
                if isinstance(item, Line)
                else (item.x + item.width, item.y + item.height)
            )
            if x > right or y > bottom or item.x < MARGIN_MM - 0.01 or item.y < MARGIN_MM - 0.01:
                found.append(item)
    return found


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("plants", [0, 5, 10, 60])
def test_every_bay_and_plant_is_on_the_sheet_within_the_margins(paper, plants):
    sheets = walks(plants=plants)
    document = walk_pages.document(sheets, paper)
    assert outside(document) == []
    texts = [text for page in document.pages for text in page.texts]
    for bay in sheets[0].bays:
        assert bay.name in texts
        for pest in bay.pests:
            assert texts.count(pest.name) >= len(sheets[0].bays)
    numbers = [item for page in document.pages for item in page.items if isinstance(item, Text) and item.bold]
    assert sum(item.text == str(plants) for item in numbers) == (len(sheets[0].bays) if plants else 0)


def test_a_bay_is_split_only_when_it_is_longer_than_a_page_and_then_its_headings_are_repeated():
    usual = walk_pages.document(walks(plants=10), A4)
    assert not any("continued" in text for page in usual.pages for text in page.texts)
    long = walk_pages.document(walks(plants=60), A4)
    continued = [page for page in long.pages if any("continued" in text for text in page.texts)]
    assert continued
    assert all(any(text in {"Plant", "Look for", "Notes"} for text in page.texts) for page in continued)
    pages = len(long.pages)
    assert [page.texts[1] for page in long.pages] == [f"Page {n} of {pages}" for n in range(1, pages + 1)]


def test_last_values_are_those_of_the_newest_visit_before_the_week():
    bay = walks(plants=5)[0].bays[0]
    season = weeks.season(plants=5)
    newest = max(
        (visit for visit in season.visits if visit.bay_id == bay.bay.id), key=lambda one: one.visited_on
    )
    expected = {one.marked_plant_id: one for one in season.readings if one.visit_id == newest.id}
    assert len(expected) == 5
    assert {one.plant.id: one.last for one in bay.plants} == expected


def test_what_keeps_people_out_stands_on_the_walk_sheet():
    cautioned = [bay for bay in walks()[0].bays if bay.cautions]
    assert cautioned  # bay 4 was treated and its re-entry interval was not typed
    texts = [text for page in walk_pages.document(walks(), A4).pages for text in page.texts]
    assert sum(text.startswith("MIND") for text in texts) == len(cautioned)


@pytest.mark.parametrize(("low", "high", "most"), [(0.1, 0.25, 60), (0.05, 0.2, 60), (0.02, 0.08, 60)])
def test_the_words_of_a_stop_table_decide_as_the_table_does(low, high, most):
    plan = sequential.SequentialPlan("presence", low, high, 0.1, 0.1, most)
    told = stop_words.plan_words(plan)
    leave, act = told.removeprefix("leave at ").split("; act at ")
    for step in leave.split(", "):
        found, n = (int(part) for part in step.split(" of "))
        assert sequential.decide(plan, n, found).answer == "leave"
        assert sequential.decide(plan, n - 1, found).answer != "leave"
    for step in act.split(", "):
        found, n = (int(part) for part in step.split(" in up to "))
        assert sequential.decide(plan, n, found).answer == "act"
        assert n == most or sequential.decide(plan, n + 1, found).answer != "act"


def test_every_open_job_is_on_exactly_one_job_sheet(week):
    sheets = job_sheet.build(week)
    keys = [one.job.key for sheet in sheets for one in sheet.jobs]
    assert sorted(keys) == sorted(job.key for job in week.jobs if job.state.value not in {"done", "skipped"})
    assert keys
    document = job_pages.document(week, sheets, A4)
    assert outside(document) == []
    texts = [text for page in document.pages for text in page.texts]
    for job in week.jobs:
        assert job.reason in texts
        if job.blocked_by:
            assert job.blocked_text in texts


def test_only_the_sheets_of_those_who_are_wanted(week):
    names = ("Alder", "", "Maple")
    given = [replace(job, assigned_to=names[place % 3]) for place, job in enumerate(week.jobs)]
    week = replace(week, jobs=tuple(given))
    everybody = [sheet.person for sheet in job_sheet.build(week)]
    assert set(everybody) == set(names)
    wanted = {"Maple", ""}
    chosen = [sheet.person for sheet in job_sheet.build(week, wanted)]
    assert chosen == [person for person in everybody if person in wanted]


def test_what_a_person_is_late_with_stands_on_one_sheet(week):
    as_of = week.bays[0].as_of
    days = (9, 4, 1, 0, -2)
    base = next(job for job in week.jobs if job.is_due)
    jobs = tuple(
        replace(base, target=f"t{late}", assigned_to="Alder", due_on=as_of - timedelta(days=late))
        for late in days
    )
    sheets = job_sheet.build(replace(week, jobs=jobs))
    assert [(sheet.day, len(sheet.jobs)) for sheet in sheets] == [
        (as_of - timedelta(days=1), 3),
        (as_of, 1),
        (as_of + timedelta(days=2), 1),
    ]


def test_a_week_without_jobs_says_so(week):
    (page,) = job_pages.document(replace(week, jobs=()), (), A4).pages
    assert "No job is to be handed out this week." in page.texts


def test_a_part_higher_than_a_page_is_a_fault_of_the_program():
    with pytest.raises(ValueError):
        onto_pages(A4, lambda _page, _pages: (), 10, [Block((Part(400, (Box(0, 0, 1, 1),)),))])


@pytest.fixture
def walk_file(tmp_path):
    sheet = walks(plants=5)[0]
    path = tmp_path / "walk.xlsx"
    assert book.write(sheet, ("Scout 1",), {"thrips": "Thrips"}, path) == len(sheet.bays)
    return sheet, path


def test_the_walk_workbook_is_locked_outside_its_cells_and_knows_its_records(walk_file):
    sheet, path = walk_file
    read = openpyxl.load_workbook(path)
    assert all(one.protection.sheet for one in read.worksheets)
    ids = read[places.IDS_SHEET]
    assert ids.sheet_state == "veryHidden"
    lines = [row[0] for row in ids.iter_rows(values_only=True)]
    found = places.parse(lines)
    assert [bay.bay_id for bay in found.bays] == [bay.bay.id for bay in sheet.bays]
    for bay, known in zip(sheet.bays, found.bays):
        page = read[known.sheet]
        for one, place in zip(bay.plants, known.plants):
            assert page.cell(place.row, 1).value == one.plant.number == place.number
            columns = range(places.FIRST_FIELD_COLUMN, known.note_column + 1)
            assert not any(page.cell(place.row, column).protection.locked for column in columns)
            assert page.cell(place.row, 1).protection.locked
    with pytest.raises(ValueError):
        places.parse([*lines[:3], lines[3].replace(sheet.bays[0].bay.id, sheet.bays[1].bay.id), *lines[4:]])


def test_hostile_names_become_no_formula_and_no_broken_sheet_title(tmp_path):
    pool = cycle(
        ['=cmd|" /C calc"!A0', "+1", "@SUM(1)", "[a]:*?/\\", "History", "'=1'", "=" * 60, "ids", "Walk"]
    )
    facts = weeks.season(houses=4, bays=4, plants=2, name=lambda _what, _number: next(pool))
    sheet = walk_sheet.build(facts, weeks.CROPS, COMING, weeks.WEEK.sunday)[0]
    path = tmp_path / "walk.xlsx"
    assert book.write(sheet, ("=1+1",), {"thrips": "Thrips"}, path) == 16
    read = openpyxl.load_workbook(path)
    cells = [cell for one in read.worksheets for row in one.iter_rows() for cell in row]
    assert [cell.coordinate for cell in cells if cell.data_type in {"f", "e"}] == []
    assert any(cell.value == "=1+1" for cell in cells)
