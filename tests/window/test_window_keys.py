"""The window itself, by real keys: moving between screens, stepping weeks, handing over, closing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest
from openpyxl import load_workbook
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot
from window_hands import TODAY, Answers, alt, ctrl, focused, press, settle, type_text

from bayround import settings
from bayround.actions import farm as farm_actions
from bayround.actions import setup, treatments
from bayround.actions.farm import OpenFarm
from bayround.window import theme
from bayround.window.bay.bay_screen import BayScreen
from bayround.window.main_window import MainWindow
from bayround.window.screens import SCREENS
from bayround.window.tasks_qt import QtTasks
from bayround.window.week.week_screen import WeekScreen

Make = Callable[..., MainWindow]
PAGES = {
    Qt.Key.Key_1: "week",
    Qt.Key.Key_2: "visit",
    Qt.Key.Key_3: "bay",
    Qt.Key.Key_4: "jobs",
    Qt.Key.Key_5: "farm",
    Qt.Key.Key_9: "trials",
    Qt.Key.Key_0: "season",
}


def shown(window: MainWindow) -> str:
    screen = window.pages.current
    assert screen is not None
    return screen.name


def test_ctrl_and_a_number_go_to_every_screen(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    for key in (
        Qt.Key.Key_0,
        Qt.Key.Key_9,
        Qt.Key.Key_5,
        Qt.Key.Key_4,
        Qt.Key.Key_3,
        Qt.Key.Key_2,
        Qt.Key.Key_1,
    ):
        ctrl(key)
        settled()
        assert shown(window) == PAGES[key]
        assert window.rail.buttons[PAGES[key]].isChecked()
        assert window.pages.current is not None
        assert window.pages.current.isAncestorOf(focused()), f"{PAGES[key]} does not take the keyboard"


def test_alt_left_shows_the_week_before_and_stops_at_the_first(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    assert window.header.shown_week == "2026-W47"
    alt(Qt.Key.Key_Left)
    settled()
    assert window.header.shown_week == "2026-W46"
    alt(Qt.Key.Key_Right)
    settled()
    assert window.header.shown_week == "2026-W47"
    window.go("week", "2026-W44")
    settled()
    alt(Qt.Key.Key_Left)
    settled()
    assert window.header.shown_week == "2026-W43"
    assert not window.header.earlier.isEnabled()
    alt(Qt.Key.Key_Left)
    settled()
    assert window.header.shown_week == "2026-W43"


def test_the_badge_tells_an_invented_farm(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    settled()
    assert window.header.badge.isVisible()
    assert "invented" in window.header.farm_name.text()


def test_search_goes_to_a_bay(make_window: Make, farm: OpenFarm, settled: Callable[[], None]) -> None:
    window = make_window(farm)
    ctrl(Qt.Key.Key_K)
    settled()
    type_text("bay s4")
    press(Qt.Key.Key_Return)
    settled()
    assert shown(window) == "bay"
    assert "S4" in window.pages.current.heading.text()  # type: ignore[union-attr]


def test_search_goes_to_a_job_and_to_a_person(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    ctrl(Qt.Key.Key_K)
    settled()
    type_text("job weeding s1")
    press(Qt.Key.Key_Return)
    settled()
    assert shown(window) == "jobs"
    job = window.pages.current.job  # type: ignore[union-attr]
    assert (job.kind_text, job.bay_name) == ("Weeding", "South net house · S1")
    ctrl(Qt.Key.Key_K)
    settled()
    type_text("person alder")
    press(Qt.Key.Key_Return)
    settled()
    assert shown(window) == "farm"
    assert window.pages.current.person_form.name.text() == "Alder"  # type: ignore[union-attr]


def test_search_goes_to_a_plant_and_to_a_treatment(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    wanted = treatments.read(farm, TODAY).treatments[0]
    for words, page in (("plant 3 s1", "bay"), (f"treatment {wanted.bays[0].split()[-1]}", "treatments")):
        ctrl(Qt.Key.Key_K)
        settled()
        type_text(words)
        press(Qt.Key.Key_Return)
        settled()
        assert shown(window) == page
    assert window.pages.current.current == wanted  # type: ignore[union-attr]


def test_ctrl_h_starts_with_the_house_one_is_at(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    known = setup.read(farm)
    window = make_window(farm)
    for house in known.houses[:3]:
        bay = next((bay for bay in known.bays if bay.house_id == house.id), None)
        for page, key in (("bay", bay.id if bay else ""), ("farm", house.id)):
            if not key:
                continue
            window.go(page, key)
            settled()
            ctrl(Qt.Key.Key_H)
            settled()
            assert window.pages.current.house.currentData() == house.id  # type: ignore[union-attr]
            press(Qt.Key.Key_Escape)
            settled()


def test_f1_and_an_empty_farm_say_what_to_do_next_on_every_screen(
    make_window: Make, empty_farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(empty_farm)
    for name in SCREENS:
        window.go(name)
        settled()
        screen = window.pages.current
        assert screen is not None
        texts = " ".join(
            part.text() for part in screen.findChildren(QLabel) if part.isVisible() and len(part.text()) > 20
        )
        assert texts, f"{name}: an empty farm is met with silence"
        assert screen.isAncestorOf(focused()) or focused() is screen, name
        press(Qt.Key.Key_F1)
        settled()
        assert window.dialog is not None
        assert len(window.dialog.accessibleDescription()) > 40, name
        press(Qt.Key.Key_Escape)
        settled()


def test_f1_says_the_keys_of_the_screen_and_escape_closes_it(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    press(Qt.Key.Key_F1)
    settled()
    assert window.dialog is not None
    assert window.dialog.isVisible()
    assert "Late rounds" in window.dialog.accessibleDescription()
    texts = [label.text() for label in window.dialog.findChildren(QLabel)]
    for action in window.actions_made.values():
        key = action.shortcut().toString()
        assert not key or key in texts or (key.startswith("Ctrl+") and key[-1].isdigit()), key
    assert "Ctrl+1 … Ctrl+0" in texts
    press(Qt.Key.Key_Escape)
    assert QApplication.activeModalWidget() is None


def test_the_workbook_holds_the_week_shown(
    make_window: Make, farm: OpenFarm, tmp_path: Path, settled: Callable[[], None], qtbot: QtBot
) -> None:
    target = tmp_path / "week.xlsx"
    answers = Answers(path=target)
    window = make_window(farm, answers)
    alt(Qt.Key.Key_Left)
    settled()
    ctrl(Qt.Key.Key_E)
    qtbot.waitUntil(lambda: window.handover.message is not None, timeout=20_000)
    assert "2026-W46" in answers.asked[-1]
    book = load_workbook(target)
    assert any("2026-W46" in str(cell.value) for row in book.worksheets[0].iter_rows() for cell in row)
    settled()
    press(Qt.Key.Key_Escape)


def test_ctrl_b_makes_a_backup_that_opens(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None], qtbot: QtBot
) -> None:
    window = make_window(farm)
    ctrl(Qt.Key.Key_B)
    settled()
    said = window.statusBar().currentMessage()
    assert said.startswith("Backed up: ")
    copy = farm_actions.open_farm(Path(said.removeprefix("Backed up: ")), read_only=True)
    assert copy.info.name == farm.info.name
    copy.close()


def test_a_form_that_cant_be_kept_keeps_its_page_and_the_window(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    answers = Answers(yes=False)
    window = make_window(farm, answers, page="farm")
    screen = window.pages.current
    ctrl(Qt.Key.Key_N)  # a new house
    settled()
    type_text("West")
    ctrl(Qt.Key.Key_1)
    settled()
    assert shown(window) == "farm"
    assert window.rail.buttons["farm"].isChecked()
    assert "Length is needed." in screen.house_form.notice.text.text()  # type: ignore[union-attr]
    assert "Not kept yet" in window.statusBar().currentMessage()
    assert screen.house_form.name.text() == "West"  # type: ignore[union-attr]
    window.close()
    assert window.isVisible(), "the window closed over typing that was not kept"
    assert answers.asked == ["Something typed here can't be kept as it is."]


def test_ctrl_q_closes_the_farm_whole(
    make_window: Make, farm: OpenFarm, tasks: QtTasks, qapp: QApplication
) -> None:
    window = make_window(farm)
    gone: list[bool] = []
    window.closed.connect(lambda: gone.append(True))
    ctrl(Qt.Key.Key_Q)
    settle(qapp, tasks)
    assert gone == [True]
    again = farm_actions.open_farm(farm.path)  # fails while the first still holds the file
    again.close()


def test_dark_look_and_large_type_are_kept_and_the_page_stays(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None], qapp: QApplication
) -> None:
    window = make_window(farm, page="jobs")
    before = qapp.font().pointSizeF()
    ctrl(Qt.Key.Key_Plus)
    settled()
    assert qapp.font().pointSizeF() > before * 1.2
    window.actions_made["dark"].trigger()
    settled()
    assert theme.now().name == "dark"
    assert (settings.read(settings.THEME), settings.read(settings.LARGE_TYPE)) == ("dark", True)
    assert shown(window) == "jobs"
    theme.apply(qapp, "light", large=False)


def test_a_change_on_one_screen_shows_on_the_others(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    ctrl(Qt.Key.Key_4)
    settled()
    listed = window.pages.current.list.model.rowCount()  # type: ignore[union-attr]
    ctrl(Qt.Key.Key_T)
    settled()
    ctrl(Qt.Key.Key_D)
    press(Qt.Key.Key_Return)
    settled()
    assert window.pages.current.list.model.rowCount() == listed - 1  # type: ignore[union-attr]
    revision = farm.info.revision
    ctrl(Qt.Key.Key_1)
    settled()
    assert window.pages.current.snapshot.revision == revision  # type: ignore[union-attr]


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("page", ["week", "visit", "jobs", "picks", "treatments"])
def test_no_line_of_the_help_is_cut(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None], page: str, large: bool
) -> None:
    window = make_window(farm, page=page)
    if large:
        ctrl(Qt.Key.Key_Plus)
        settled()
    press(Qt.Key.Key_F1)
    settled()
    dialog = window.dialog
    assert dialog is not None
    for label in dialog.findChildren(QLabel):
        needed = label.heightForWidth(label.width()) if label.wordWrap() else label.sizeHint().height()
        assert label.height() >= needed, label.text()
    assert dialog.height() <= window.height()
    press(Qt.Key.Key_Escape)
    settled()
    if large:
        window.actions_made["large"].trigger()


def test_another_size_of_type_keeps_bay_shading_week_and_page(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    week = cast(WeekScreen, window.pages.current)
    press(Qt.Key.Key_Down, times=2)
    bay_id = week.bays.bay_id
    press(Qt.Key.Key_Return)
    settled()
    cast(BayScreen, window.pages.current).tabs.setCurrentIndex(1)
    title = cast(BayScreen, window.pages.current).heading.text()
    ctrl(Qt.Key.Key_1)
    alt(Qt.Key.Key_S)
    press(Qt.Key.Key_Down)
    week.bays.table.setFocus()
    press(Qt.Key.Key_Down)
    below = week.bays.bay_id
    assert below != bay_id
    alt(Qt.Key.Key_Left)
    settled()
    ctrl(Qt.Key.Key_Plus)
    settled()
    again = cast(WeekScreen, window.pages.current)
    assert again is not week
    assert again.bays.bay_id == again.map.chosen == below
    assert again.measure.currentIndex() == 1
    assert again.map.measure == again.measure.currentData()
    assert window.header.shown_week == "2026-W46"
    ctrl(Qt.Key.Key_3)
    settled()
    bay = cast(BayScreen, window.pages.current)
    assert bay.heading.text() == title
    assert bay.tabs.currentIndex() == 1
    ctrl(Qt.Key.Key_Plus)
    settled()
    assert cast(BayScreen, window.pages.current).heading.text() == title


def test_a_screen_that_is_not_on_the_rail_marks_none_there(make_window: Make, farm: OpenFarm) -> None:
    window = make_window(farm)
    ctrl(Qt.Key.Key_H)
    assert shown(window) == "house"
    assert not [name for name, button in window.rail.buttons.items() if button.isChecked()]
    ctrl(Qt.Key.Key_4)
    assert [name for name, button in window.rail.buttons.items() if button.isChecked()] == ["jobs"]


def test_who_sat_at_the_desk_of_this_farm_last_is_named_again(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None]
) -> None:
    window = make_window(farm)
    assert window.desk.person_id is None
    window.header.person.setFocus()
    press(Qt.Key.Key_Down, times=2)
    chosen = window.header.person.currentText()
    who = window.desk.person_id
    assert who
    assert settings.read(settings.AT_DESK) == " ".join(reversed(_people_in_list(window)[:2]))
    settings.write(settings.LAST_SCOUT, _people_in_list(window)[3])
    again = make_window(farm)
    assert (again.desk.person_id, again.header.person.currentText()) == (who, chosen)


def test_without_one_the_scout_of_the_round_begun_last_is_named(
    make_window: Make, farm: OpenFarm, settled: Callable[[], None], qtbot: QtBot
) -> None:
    window = make_window(farm)
    scout = _people_in_list(window)[1]
    settings.write(settings.LAST_SCOUT, scout)
    window.desk.tasks.change(lambda: None, lambda _nothing: None)  # any change of the farm
    qtbot.waitUntil(lambda: window.desk.person_id == scout, timeout=3000)


def _people_in_list(window: MainWindow) -> list[str]:
    person = window.header.person
    return [str(person.itemData(row)) for row in range(1, person.count())]
