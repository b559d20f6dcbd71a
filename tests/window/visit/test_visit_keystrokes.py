"""How many keys a bay costs: every key press counted against the characters of its numbers.

Target from the program's design: at most 1.25 key presses a character for ten plants and six numbers each
(goal 1.15); the keystroke-level model of Card, Moran and Newell (1980) makes a key worth about 0.2 s.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType

import pytest
from fake_rounds import FakeRounds
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from visit_hands import NOW, TODAY, Hands, bays, numbers_of, put_in_place

from bayround.facts.rounds import VisitState
from bayround.window.parts.number_editor import NumberEditor
from bayround.window.visit.screen import VisitScreen

FIELDS = ("height_cm", "last_tie_cm", "flowers", "fruit_set", "fruit_green", "fruit_turning")


def with_fields(fake: FakeRounds, keys: tuple[str, ...]) -> None:
    """Let the crop ask for these fields only."""
    pepper = fake.crops.profile("sweet_pepper")
    fields = tuple(field for field in pepper.fields if field.key in keys)
    profiles = MappingProxyType({**fake.crops.profiles, "sweet_pepper": replace(pepper, fields=fields)})
    fake.crops = replace(fake.crops, profiles=profiles)


def key_in(screen: VisitScreen, hands: Hands, values: dict[str, dict[str, float]], always_enter: bool) -> int:
    """Type a bay off a paper sheet; returns the characters of its numbers.

    Enter is pressed after a number only where the cell is still open, or after every number.
    """
    characters = 0
    for numbers in values.values():
        for number in numbers.values():
            text = str(int(number))
            characters += len(text)
            hands.keys(text)
            if always_enter or isinstance(QApplication.focusWidget(), NumberEditor):
                hands.enter()
    return characters


def typed_bay(seed: int, fake: FakeRounds) -> dict[str, dict[str, float]]:
    """Return this week's numbers of the first bay, as a scout would read them a week after the last visit."""
    chance = random.Random(seed)
    past = next(iter(fake.pasts.values()))
    found = {}
    for plant in past.plants:
        before = past.visits[-1].readings[plant.id]
        assert before.height_cm is not None
        numbers = numbers_of(before.height_cm + 7, chance)
        found[plant.id] = {key: numbers[key] for key in FIELDS}
    return found


@pytest.mark.parametrize("seed", [1, 2])
def test_ten_plants_of_six_numbers_cost_at_most_a_quarter_more_keys_than_characters(
    monkeypatch: pytest.MonkeyPatch, make_screen: Callable[..., VisitScreen], seed: int
) -> None:
    fake = FakeRounds(bays(2, plants=10, seed=seed), TODAY)
    with_fields(fake, FIELDS)
    put_in_place(fake, monkeypatch)
    screen = make_screen()
    hands = Hands(screen)
    hands.enter()
    values = typed_bay(100 + seed, fake)
    visit_id = screen.work.visit_id
    hands.pressed = 0
    characters = key_in(screen, hands, values, always_enter=False)
    ratio = hands.pressed / characters
    print(f"seed {seed}: {hands.pressed} keys for {characters} characters = {ratio:.3f}")
    for plant_id, numbers in values.items():
        for field, number in numbers.items():
            assert fake.value(visit_id, plant_id, field) == number
    assert ratio <= 1.25


def test_enter_after_every_number_gives_the_same_bay(
    monkeypatch: pytest.MonkeyPatch, make_screen: Callable[..., VisitScreen]
) -> None:
    fake = FakeRounds(bays(1, plants=4), TODAY)
    with_fields(fake, FIELDS)
    put_in_place(fake, monkeypatch)
    screen = make_screen()
    hands = Hands(screen)
    hands.enter()
    values = typed_bay(9, fake)
    key_in(screen, hands, values, always_enter=True)
    for plant_id, numbers in values.items():
        for field, number in numbers.items():
            assert fake.value(screen.work.visit_id, plant_id, field) == number


def test_finishing_and_the_next_bay_cost_one_chord(
    monkeypatch: pytest.MonkeyPatch, make_screen: Callable[..., VisitScreen]
) -> None:
    fake = FakeRounds(bays(2, plants=3), TODAY)
    with_fields(fake, ("height_cm",))
    put_in_place(fake, monkeypatch)
    screen = make_screen()
    hands = Hands(screen)
    hands.enter()
    first = screen.work.visit_id
    for numbers in typed_bay(5, fake).values():
        hands.keys(str(int(numbers["height_cm"])))
    hands.ctrl(Qt.Key.Key_Return)
    assert fake.visits[first].visit.state is VisitState.DONE
    assert fake.visits[first].visit.finished_at == NOW
    assert screen.work.visit_id != first
    assert screen.page.grid.hasFocus()
