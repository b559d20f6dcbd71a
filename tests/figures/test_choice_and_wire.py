"""Green or coloured and load on a wire: by hand, by handbook formula, and never without the caution."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest

import factory
from bayround.crops import load_crops
from bayround.facts.bay_past import BayPast
from bayround.facts.money import Price
from bayround.figures import colour_choice, trellis_load
from bayround.figures.colour_choice import ChoiceInputs
from bayround.figures.trellis_load import Wire

PEPPER = load_crops().profile("sweet_pepper")
GIVEN = ChoiceInputs(1.0, 1.5, loss_percent=10.0, days_to_colour=20, green_fruit_g=160, coloured_fruit_g=180)


def bay() -> BayPast:
    """Ten plants with two green fruit each on 2,300 plants in 400 m²: 11.5 fruit/m²."""
    return factory.past(1)


def choose(given: ChoiceInputs, past: BayPast | None = None) -> colour_choice.ColourChoice:
    found = colour_choice.choose(past or bay(), given)
    assert isinstance(found, colour_choice.ColourChoice)
    return found


def test_break_even_price_by_hand() -> None:
    """11.5 fruit/m²: green 11.5·0.16·1.00 = 1.84; coloured 11.5·0.9·0.18·1.50 = 2.7945; even at 1.84/1.863."""
    found = choose(GIVEN)
    assert found.figures["gain_of_waiting_per_m2"].value == pytest.approx(2.7945 - 1.84)
    assert found.figures["break_even_price_ratio"].value == pytest.approx(1.84 / 1.863)
    assert found.sentence.startswith("Wait for colour")


def test_later_fruit_lost_can_turn_the_answer() -> None:
    """A fruit that hangs 20 days costs 20/7 · 0.3 later fruit at 0.15: 11.5 · 0.1286 = 1.4786 per m²."""
    found = choose(replace(GIVEN, later_fruit_per_fruit_week=0.3, later_fruit_value=0.15))
    assert found.figures["gain_of_waiting_per_m2"].value == pytest.approx(
        2.7945 - 1.84 - 11.5 * 20 / 7 * 0.3 * 0.15
    )
    assert found.sentence.startswith("Pick green now")


def test_unsure_losses_are_said() -> None:
    found = choose(replace(GIVEN, coloured_price_per_kg=1.05, loss_percent_low=2.0, loss_percent_high=30.0))
    assert found.sentence.startswith("It depends on the losses")
    gain = found.figures["gain_of_waiting_per_m2"]
    assert gain.low is not None
    assert gain.high is not None
    assert gain.low < 0 < gain.high


def test_the_table_holds_the_case_itself() -> None:
    rows = {(ratio, round(loss, 6)): gain for ratio, loss, gain in choose(GIVEN).rows}
    assert rows[1.5, 10.0] == pytest.approx(2.7945 - 1.84)
    assert len(rows) == 15


def test_prices_kept_are_the_newest_before_the_day() -> None:
    def price(day: int, colour: str, hundredths: int, crop: str = "sweet_pepper") -> Price:
        return Price(factory.key(), date(2026, 10, day), crop, hundredths, colour=colour)

    prices = [
        price(1, "green", 90), price(5, "green", 110), price(20, "green", 300), price(2, "red", 160),
        price(3, "green", 55, "cucumber"), price(3, "", 999),
    ]  # fmt: skip
    found = colour_choice.starting_inputs(bay(), PEPPER, prices, date(2026, 10, 10))
    assert found is not None
    assert (found.green_price_per_kg, found.coloured_price_per_kg) == (1.10, 1.60)
    assert found.loss_percent == pytest.approx(5.0)
    assert found.days_to_colour == pytest.approx(12 / 2 + 6)
    assert colour_choice.starting_inputs(bay(), PEPPER, prices[:3], date(2026, 10, 10)) is None


def test_no_green_fruit_no_choice() -> None:
    past = bay()
    assert past.latest is not None
    none = {key: replace(reading, fruit_green=0.0) for key, reading in past.latest.readings.items()}
    bare = replace(past, visits=(replace(past.latest, readings=none),))
    assert isinstance(colour_choice.choose(bare, GIVEN), str)
    with pytest.raises(ValueError):
        colour_choice.choose(past, replace(GIVEN, loss_percent=100.0))


def loaded(wire: Wire) -> trellis_load.TrellisLoad:
    found = trellis_load.load(bay(), PEPPER, wire)
    assert isinstance(found, trellis_load.TrellisLoad)
    return found


def test_pull_is_the_handbooks() -> None:
    """Civil engineering handbook, ch. 10, eq. 10.57 and 10.58: w = 1, L = 10, d = 1 gives T = 13.463; without the
    square on (w·L/2), as one engineering page prints it, 12.698."""
    per_plant_kg = PEPPER.number("plant_mass_kg").value + 3 * PEPPER.number("fruit_weight_g").value / 1000
    plants = 10 / (per_plant_kg * 9.80665)  # so that w is 1 N/m on a span of 10 m
    pull = loaded(Wire(10.0, 1.0, plants)).figures["wire_pull_n"].value
    assert pull == pytest.approx(math.hypot(12.5, 5.0))
    assert pull == pytest.approx(13.463, abs=5e-4)
    assert pull != pytest.approx(12.698, abs=0.1)


def test_mass_by_hand() -> None:
    """20 plants of 1.5 kg with 3 fruit of 180 g each: 40.8 kg, and 3 m of wire at 0.1 kg/m."""
    assert loaded(Wire(3.0, 0.05, 20, 0.1)).figures["wire_mass_kg"].value == pytest.approx(41.1)


def test_halving_the_sag_nearly_doubles_the_pull_and_the_sentence_says_it() -> None:
    slack, tight = loaded(Wire(3.0, 0.06, 20)), loaded(Wire(3.0, 0.03, 20))
    ratio = (tight.figures["wire_pull_n"].value or 0) / (slack.figures["wire_pull_n"].value or 1)
    assert ratio == pytest.approx(2.0, abs=0.01)
    assert tight.figures["wire_pull_n"].text in slack.sentence


def test_no_figure_without_its_caution() -> None:
    found = loaded(Wire(3.0, 0.05, 20))
    assert "supplier or an engineer" in found.caution
    for figure in found.figures.values():
        assert ("Caution", found.caution) in figure.why.inputs, figure.id
        assert any(found.caution in text for _name, text in figure.explained())


def test_plants_on_a_span_follow_the_rows() -> None:
    """2,300 plants in 10 rows of 40 m: 5.75 a metre; on two wires a row half of it each."""
    assert trellis_load.plants_on_span(bay(), 3.0) == pytest.approx(17.25)
    assert trellis_load.plants_on_span(bay(), 3.0, 2) == pytest.approx(8.625)


def test_impossible_wires_are_refused() -> None:
    with pytest.raises(ValueError):
        trellis_load.load(bay(), PEPPER, Wire(3.0, 0.0, 20))
