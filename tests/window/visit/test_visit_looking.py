"""Looking into a bay leaves nothing behind, and a round on a wrong day is put right, in a real farm file."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from test_visit_real_file import Opened, open_screen, stop
from visit_hands import TODAY, Hands
from window_hands import settle

from bayround.actions import rounds
from bayround.facts.problems import FarmFileProblem
from bayround.facts.rounds import VisitState
from bayround.records import read_season, write_visit

__all__ = ["open_screen"]


def drafts(opened: Opened) -> list[str]:
    """Return the ids of the drafts in the file."""
    season = read_season.read_season(opened[2].store)
    return [visit.id for visit in season.visits if visit.state is VisitState.DRAFT]


def test_a_bay_that_is_only_looked_at_is_not_begun(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    opened = open_screen()
    screen, tasks, _farm = opened
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    assert screen.page.grid.hasFocus()
    hands.enter(times=3)
    screen.work.refresh()
    settle(qapp, tasks)
    assert drafts(opened) == []
    assert screen.round_bar.change.isVisible(), "nothing was keyed in on this round yet"
    hands.keys("87")
    hands.enter()
    settle(qapp, tasks)
    assert drafts(opened) == [screen.work.visit_id]
    assert screen.walk.walk.stops[0].state is VisitState.DRAFT
    assert not screen.round_bar.change.isVisible()
    assert screen.kept() == {"key": screen.walk.walk.open_bay_id, "round": screen.work.round_id}
    stop(opened)


def test_a_round_on_a_wrong_day_is_put_right_from_the_keyboard(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    opened = open_screen()
    screen, tasks, farm = opened
    hands, form = Hands(screen), screen.start_form
    screen.round_bar.change.setFocus()
    hands.key(Qt.Key.Key_Space)
    assert form.day.hasFocus()
    hands.keys((TODAY + timedelta(days=1)).isoformat())
    hands.enter()
    assert "still to come" in form.problem.text()
    assert form.day.hasFocus(), "what was typed stands there to be put right"
    form.day.selectAll()
    hands.keys((TODAY - timedelta(days=1)).isoformat())
    hands.enter()
    settle(qapp, tasks)
    assert rounds.rounds(farm)[0].held_on == TODAY - timedelta(days=1)
    assert screen.walk.hasFocus()
    stop(opened)


def test_escape_leaves_the_form_of_a_new_round(open_screen: Callable[[], Opened], qapp: QApplication) -> None:
    opened = open_screen()
    screen, hands = opened[0], Hands(opened[0])
    screen.offer_round()
    hands.keys((TODAY + timedelta(days=9)).isoformat())
    hands.enter()
    assert "still to come" in screen.start_form.problem.text()
    hands.key(Qt.Key.Key_Escape)
    assert screen.start_form.isHidden()
    screen.offer_round()
    assert screen.start_form.problem.text() == ""
    assert screen.start_form.day.text() == TODAY.isoformat()
    hands.key(Qt.Key.Key_Escape)
    stop(opened)


def test_escape_in_a_cell_takes_back_what_was_said_about_it(
    open_screen: Callable[[], Opened], qapp: QApplication
) -> None:
    opened = open_screen()
    screen, tasks, _farm = opened
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    hint = screen.page.message.text()
    hands.keys("612")
    hands.enter()
    assert screen.page.message.text() != hint
    hands.key(Qt.Key.Key_Escape)
    assert screen.page.message.text() == hint
    assert drafts(opened) == []
    stop(opened)


def test_a_bay_opened_again_while_the_disk_refuses_is_still_one_visit(
    open_screen: Callable[[], Opened], qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What waits to be saved and what is typed after the bay was opened again both come into the file."""
    opened = open_screen()
    screen, tasks, farm = opened
    hands = Hands(screen)
    hands.enter()
    settle(qapp, tasks)
    with monkeypatch.context() as disk:

        def full(*_arguments: object) -> None:
            raise FarmFileProblem("The disk is full.")

        disk.setattr(write_visit, "start_visit", full)
        hands.keys("87")
        hands.enter()
        settle(qapp, tasks)
        assert screen.not_saved == 1
        screen.work.open(screen.walk.walk.stops[0])
        settle(qapp, tasks)
        assert screen.page.readings.in_hand.value(0, 0) == 87.0, "it is shown while it waits"
    hands.keys("88")
    hands.enter()
    settle(qapp, tasks)
    found = read_season.read_season(farm.store)
    begun = [visit.id for visit in found.visits if visit.state is VisitState.DRAFT]
    kept = [one for one in found.readings if one.visit_id in begun]
    assert len(begun) == 1
    assert [(one.height_cm, one.last_tie_cm) for one in kept] == [(87.0, 88.0)]
    assert screen.not_saved == 0
    stop(opened)
