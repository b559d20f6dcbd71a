"""Checks, cards and weeds without a window: a row becomes a record as soon as it holds enough."""

from __future__ import annotations

import pytest
from fake_rounds import FakeRounds
from visit_hands import NOW, TODAY, bays

from bayround.facts.rounds import CardCount, PestCheck, WeedNote
from bayround.week.visit_sheet import VisitSheet
from bayround.window.visit.cards_model import CardsModel
from bayround.window.visit.checks_model import ChecksModel
from bayround.window.visit.record_model import RecordModel
from bayround.window.visit.weeds_model import WeedsModel


@pytest.fixture
def fake() -> FakeRounds:
    return FakeRounds(bays(1, plants=4), TODAY)


@pytest.fixture
def sheet(fake: FakeRounds) -> VisitSheet:
    return fake.open_visit(None, fake.all_rounds[0].id, next(iter(fake.pasts)), NOW)


def cell(model: RecordModel, row: int, key: str) -> object:
    columns = [column.key for column in model.columns]
    return model.index(row, columns.index(key))


def put(model: RecordModel, row: int, **values: object) -> bool:
    taken = [model.put(cell(model, row, key), value) for key, value in values.items()]  # type: ignore[arg-type]
    return all(taken)


def shown(model: RecordModel, sheet: VisitSheet) -> list[object]:
    records: list[object] = []
    model.record_typed.connect(lambda before, after: records.append(after))
    model.show(sheet)
    return records


def test_there_is_a_row_for_every_organism_of_the_crop(sheet: VisitSheet) -> None:
    model = ChecksModel()
    shown(model, sheet)
    assert model.rowCount() == len(sheet.look_for) > 5


def test_a_check_is_kept_as_soon_as_both_numbers_are_there(sheet: VisitSheet) -> None:
    model = ChecksModel()
    records = shown(model, sheet)
    assert put(model, 0, inspected=30.0)
    assert records == []
    assert model.half_typed == [0]
    assert model.look(cell(model, 0, "infested")).faint == "needed"  # type: ignore[arg-type]
    assert put(model, 0, infested=2.0, counted=9.0)
    assert model.half_typed == []
    kept = records[-1]
    assert isinstance(kept, PestCheck)
    assert (kept.organism, kept.inspected, kept.infested, kept.counted) == (
        sheet.look_for[0].organism.key,
        30,
        2,
        9,
    )


def test_no_more_can_be_infested_than_were_looked_at(sheet: VisitSheet) -> None:
    model = ChecksModel()
    shown(model, sheet)
    said: list[str] = []
    model.said.connect(said.append)
    put(model, 0, inspected=30.0)
    assert not put(model, 0, infested=31.0)
    assert said == ["Thrips, Infested: 31 can't be right, 30 is the most."]
    assert put(model, 0, infested=30.0)
    assert not put(model, 0, inspected=29.0)


def test_n_means_none_found_on_as_many_as_in_the_row_above(sheet: VisitSheet) -> None:
    model = ChecksModel()
    records = shown(model, sheet)
    put(model, 0, inspected=30.0, infested=1.0)
    assert model.row_key(1, "n")
    kept = records[-1]
    assert isinstance(kept, PestCheck)
    assert (kept.inspected, kept.infested) == (30, 0)


def test_a_needed_number_of_a_kept_check_cannot_be_emptied(sheet: VisitSheet) -> None:
    model = ChecksModel()
    shown(model, sheet)
    put(model, 0, inspected=30.0, infested=1.0)
    assert not put(model, 0, infested=None)
    assert model.value(cell(model, 0, "infested")) == 1.0  # type: ignore[arg-type]


def test_half_typed_rows_survive_reading_the_sheet_again(fake: FakeRounds, sheet: VisitSheet) -> None:
    model = ChecksModel()
    shown(model, sheet)
    put(model, 2, inspected=30.0)
    model.show(fake.read_sheet(None, sheet.visit.id))
    assert model.value(cell(model, 2, "inspected")) == 30.0  # type: ignore[arg-type]


def test_a_kept_check_comes_back_from_the_farm_in_its_row(fake: FakeRounds, sheet: VisitSheet) -> None:
    model = ChecksModel()
    records = shown(model, sheet)
    put(model, 2, inspected=30.0, infested=0.0)
    fake.save_check(None, records[-1])
    model.show(fake.read_sheet(None, sheet.visit.id))
    assert model.rowCount() == len(sheet.look_for)
    assert model.rows[2].record == records[-1]


def test_a_card_needs_only_its_count_and_a_new_row_follows(sheet: VisitSheet) -> None:
    model = CardsModel()
    records = shown(model, sheet)
    assert model.rowCount() == 1
    assert put(model, 0, count=23.0)
    kept = records[-1]
    assert isinstance(kept, CardCount)
    assert (kept.card, kept.count, kept.days_hung, kept.colour) == ("1", 23, 7.0, "yellow")
    assert model.rowCount() == 2
    assert put(model, 1, count=4.0)
    assert [record.card for record in records if isinstance(record, CardCount)] == ["1", "2"]


def test_cards_stay_in_order_when_they_come_back(fake: FakeRounds, sheet: VisitSheet) -> None:
    model = CardsModel()
    records = shown(model, sheet)
    put(model, 0, count=23.0)
    put(model, 1, count=4.0)
    for record in records:
        fake.save_card(None, record)
    model.show(fake.read_sheet(None, sheet.visit.id))
    assert [row.values.get("count") for row in model.rows] == [23, 4, None]


def test_weeds_are_a_cover_in_percent_and_whether_they_seed(sheet: VisitSheet) -> None:
    model = WeedsModel()
    records = shown(model, sheet)
    assert put(model, 0, cover_percent=12.0, seeding="yes", where="rows 3 to 5")
    kept = records[-1]
    assert isinstance(kept, WeedNote)
    assert (kept.cover_percent, kept.seeding, kept.where) == (12.0, True, "rows 3 to 5")
    assert not put(model, 0, cover_percent=101.0)
