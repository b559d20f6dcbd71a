"""The Treatments screen by real keys: write one down, put it right, never lightly."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from window_hands import NOW, TODAY, alt, ctrl, fill, focused, press, type_text

from bayround.actions import treatments
from bayround.actions.farm import OpenFarm
from bayround.window.main_window import MainWindow
from bayround.window.treatments.screen import TreatmentsScreen

Make = Callable[..., MainWindow]
Settled = Callable[[], None]


@pytest.fixture
def screen(make_window: Make, farm: OpenFarm) -> TreatmentsScreen:
    return cast(TreatmentsScreen, make_window(farm, page="treatments").pages.current)


def newest(farm: OpenFarm) -> treatments.TreatedBays:
    return treatments.read(farm, TODAY).treatments[0]


def key_in(group: str = "", re_entry: str = "", pre_harvest: str = "", began: str = "") -> None:
    """Fill the form from the date on, the first bay ticked."""
    local = (NOW - timedelta(hours=1)).astimezone()
    for text in (local.date().isoformat(), f"{local:%H%M}", began, "example salt", group, "", "", "Aphids"):
        fill(text)
    for text in (re_entry, pre_harvest):
        fill(text)
    press(Qt.Key.Key_Return)  # by whom: as it is
    fill("from the keys")


def tick_first_bay(screen: TreatmentsScreen) -> None:
    screen.form.bays.setFocus()
    press(Qt.Key.Key_Home)
    press(Qt.Key.Key_Space)


def test_write_one_down_by_keys(screen: TreatmentsScreen, farm: OpenFarm, settled: Settled) -> None:
    ctrl(Qt.Key.Key_N)
    assert focused() is screen.form.day
    key_in("28", "12", "3", f"{(NOW - timedelta(hours=2)).astimezone():%H%M}")
    tick_first_bay(screen)
    assert "Enter from: " in screen.form.clocks.text()
    ctrl(Qt.Key.Key_S)
    settled()
    one = newest(farm)
    item = one.treatment
    assert (item.active_ingredient, item.mode_of_action_group, item.note) == (
        "example salt",
        "28",
        "from the keys",
    )
    assert (item.re_entry_hours, item.pre_harvest_days) == (12.0, 3.0)
    assert item.ended_at == NOW - timedelta(hours=1)
    assert item.started_at == NOW - timedelta(hours=2)
    assert item.target == "aphids"
    assert len(one.bays) == 1
    assert screen.current is not None
    assert screen.current.treatment.id == item.id


def test_jobs_that_are_due_there_are_named_at_once(screen: TreatmentsScreen, settled: Settled) -> None:
    ctrl(Qt.Key.Key_N)
    key_in("28", "48", "3")
    alt(Qt.Key.Key_B)
    ctrl(Qt.Key.Key_A)
    ctrl(Qt.Key.Key_S)
    settled()
    settled()
    planned = [line for line in screen.said.text().splitlines() if "is stopped: no re-entry before" in line]
    assert len(planned) == 3
    assert "more jobs: see Jobs." in screen.said.text()


def test_unknown_intervals_are_asked_about_first(
    screen: TreatmentsScreen, farm: OpenFarm, settled: Settled
) -> None:
    before = newest(farm)
    ctrl(Qt.Key.Key_N)
    key_in()
    tick_first_bay(screen)
    ctrl(Qt.Key.Key_S)
    settled()
    assert "count as not safe" in screen.form.notice.text.text()
    assert newest(farm) == before
    alt(Qt.Key.Key_Y)  # Yes, it is right
    settled()
    assert newest(farm).enter_from == "not known: look at the label"


def test_times_that_may_be_swapped_are_asked_about(
    screen: TreatmentsScreen, farm: OpenFarm, settled: Settled
) -> None:
    before = newest(farm)
    ctrl(Qt.Key.Key_N)
    key_in("28", "12", "3")
    ended = (NOW - timedelta(hours=1)).astimezone()
    screen.form.began.setText(f"{ended + timedelta(minutes=5):%H:%M}")
    tick_first_bay(screen)
    ctrl(Qt.Key.Key_S)
    settled()
    assert "are the times swapped" in screen.form.notice.text.text()
    assert newest(farm) == before


def test_a_group_used_again_is_said_before_it_is_kept(
    screen: TreatmentsScreen, farm: OpenFarm, settled: Settled
) -> None:
    for _again in range(2):
        ctrl(Qt.Key.Key_N)
        key_in("4A", "12", "3")
        tick_first_bay(screen)
        ctrl(Qt.Key.Key_S)
        settled()
        screen.form.time.setText("")
        screen.form.revert()
        settled()
    count = len(treatments.read(farm, TODAY).treatments)
    ctrl(Qt.Key.Key_N)
    local = (NOW - timedelta(minutes=30)).astimezone()
    key_in("group 4A", "12", "3")
    screen.form.time.setText(f"{local:%H:%M}")
    tick_first_bay(screen)
    ctrl(Qt.Key.Key_S)
    settled()
    assert "group 4A again" in screen.form.notice.text.text()
    assert len(treatments.read(farm, TODAY).treatments) == count


def test_no_bay_ticked_is_refused_in_words(screen: TreatmentsScreen, settled: Settled) -> None:
    ctrl(Qt.Key.Key_N)
    key_in("28", "12", "3")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "Tick the bays" in screen.form.notice.text.text()


def test_put_right_needs_a_reason(screen: TreatmentsScreen, farm: OpenFarm, settled: Settled) -> None:
    before = newest(farm).treatment
    press(Qt.Key.Key_Return)
    assert focused() is screen.form.active
    screen.form.re_entry.setFocus()
    fill("24")
    screen.form.pre_harvest.setFocus()
    fill("4")
    ctrl(Qt.Key.Key_S)
    settled()
    assert "why it is put right" in screen.form.notice.text.text()
    assert newest(farm).treatment == before
    screen.form.reason.setFocus()
    type_text("label found")
    ctrl(Qt.Key.Key_S)
    settled()
    one = newest(farm)
    assert (one.treatment.re_entry_hours, one.treatment.pre_harvest_days) == (24.0, 4.0)
    assert "label found" in " ".join(one.history)
    assert "label found" in screen.said.text()


def test_a_bay_is_taken_out_by_keys_after_a_question(
    screen: TreatmentsScreen, farm: OpenFarm, settled: Settled
) -> None:
    press(Qt.Key.Key_Return)
    before = newest(farm)
    screen.form.bays.setFocus()
    press(Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)  # all, then none but the first
    if len(screen.form.bays.ticked) < screen.form.bays.count():
        press(Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    press(Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    assert screen.form.bays.ticked == ()
    tick_first_bay(screen)
    (kept,) = screen.form.bays.ticked
    assert before.bay_ids != (kept,)
    screen.form.reason.setFocus()
    type_text("wrong house ticked")
    ctrl(Qt.Key.Key_S)
    settled()
    asked = screen.form.notice.text.text()
    assert ("taken out of this treatment" in asked) is any(one != kept for one in before.bay_ids)
    alt(Qt.Key.Key_Y)
    settled()
    assert newest(farm).bay_ids == (kept,)
    assert "wrong house ticked" in " ".join(newest(farm).history)


def test_a_treatment_without_a_time_is_refused_in_words(screen: TreatmentsScreen, settled: Settled) -> None:
    ctrl(Qt.Key.Key_N)
    fill((NOW - timedelta(hours=1)).astimezone().date().isoformat())
    ctrl(Qt.Key.Key_S)
    settled()
    assert "Ended at is needed." in screen.form.notice.text.text()


def test_leaving_the_screen_with_a_half_filled_form_stays(screen: TreatmentsScreen, settled: Settled) -> None:
    ctrl(Qt.Key.Key_N)
    fill("2026-11-23")
    ctrl(Qt.Key.Key_1)
    settled()
    assert screen.isVisible()
    press(Qt.Key.Key_Escape)
    ctrl(Qt.Key.Key_1)
    settled()
    assert not screen.isVisible()


def test_the_cautions_stand_on_the_screen(screen: TreatmentsScreen) -> None:
    texts = " ".join(label.text() for label in screen.findChildren(QLabel) if label.isVisible())
    assert all(line in texts for line in treatments.CAUTIONS)


def test_an_empty_farm_says_what_to_do(make_window: Make, empty_farm: OpenFarm) -> None:
    empty = cast(TreatmentsScreen, make_window(empty_farm, page="treatments").pages.current)
    assert "Ctrl+N" in empty.said.text()
