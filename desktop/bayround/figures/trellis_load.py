"""Load on a crop wire: mass of plants and fruit, and the pull for a span and a sag. Always with its caution."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean

from bayround import words
from bayround.agronomy import trellis as reckon
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.figures import sampled
from bayround.figures.figure import Figure, Why
from bayround.words import _

SOURCE = "Civil engineering handbook formulas, ch. 10, eq. 10.57 to 10.59; NPTEL course 105101085"


@dataclass(frozen=True, slots=True)
class Wire:
    """One span of one wire between two supports: metres, the sag at its middle, the plants hung on it."""

    span_m: float
    sag_m: float
    plants: float
    wire_kg_per_m: float = 0.0


@dataclass(frozen=True, slots=True)
class TrellisLoad:
    """Figures of one span. *caution* must be shown wherever one of them is."""

    figures: dict[str, Figure]
    sentence: str
    caution: str


def caution() -> str:
    """Return the caution that must be shown with any of these figures."""
    return _(reckon.CAUTION)


def plants_on_span(past: BayPast, span_m: float, wires_per_row: int = 1) -> float | None:
    """Return how many plants hang on one span, if the bay's plants stand evenly in its rows; none without a crop."""
    if past.planting is None or wires_per_row < 1:
        return None
    return past.planting.plants / (past.bay.rows * past.bay.length_m) * span_m / wires_per_row


def load(past: BayPast, profile: CropProfile, wire: Wire) -> TrellisLoad | str:
    """Return mass and pull on one span of wire, or why there is none.

    Raises:
        ValueError: when span, sag or plants are not above 0.
    """
    carried = sampled.fruit_of(past.latest)
    if past.planting is None:
        return _("No crop stands in this bay.")
    if not carried:
        return _("No fruit was counted at the newest visit.")
    plant_kg, fruit_kg = (profile.number("plant_mass_kg"), profile.number("fruit_weight_g"))
    fruit = fmean(carried.values())
    hung = reckon.crop_on_wire(
        plants_per_m=wire.plants / wire.span_m,
        plant_kg=plant_kg.value,
        fruit_per_plant=fruit,
        fruit_kg=fruit_kg.value / 1000,
        wire_kg_per_m=wire.wire_kg_per_m,
    )
    found = reckon.wire_load(hung.load_n_per_m, wire.span_m, wire.sag_m)
    inputs = (
        (_("Caution"), caution()),
        (_("Span, sag"), f"{words.number(wire.span_m, 1)} m, {words.number(wire.sag_m, 2)} m"),
        (_("Plants on the span"), words.number(wire.plants, 1)),
        (_("Fruit per plant"), f"{words.number(fruit, 1)} ({len(carried)} {_('plants counted')})"),
        (_("Mass of a plant without fruit"), f"{words.number(plant_kg.value, 2)} kg ({plant_kg.source})"),
        (_("Mass of a fruit"), f"{words.number(fruit_kg.value, 0)} g ({fruit_kg.source})"),
    )
    rows = (
        ("wire_mass_kg", _("Hangs on the span"), hung.total_kg_per_m * wire.span_m, "kg", 0, _MASS),
        ("wire_pull_n", _("Pull at the supports"), found.tension_at_supports_n, "N", 0, _PULL),
        ("wire_upright_n", _("Upright pull on a support, from this span"), found.upright_pull_on_support_n, "N", 0, _UPRIGHT),
        ("wire_length_m", _("Length of the loaded wire"), found.wire_length_m, "m", 3, _LENGTH),
    )  # fmt: skip
    figures = {
        key: Figure(
            key, label, value, unit, decimals, Why(_(rule), inputs, SOURCE, "published"), n=len(carried)
        )
        for key, label, value, unit, decimals, rule in rows
    }
    return TrellisLoad(figures, _sentence(figures, found), caution())


_MASS = "Plants on the span × (mass of a plant + fruit per plant × mass of a fruit) + the wire itself."
_PULL = "√(H² + (w·L/2)²) with H = w·L² ÷ (8·sag): a parabola between level supports under an even load."
_UPRIGHT = "w·L ÷ 2: half of what hangs on the span."
_LENGTH = "Arc of the parabola."


def _sentence(figures: dict[str, Figure], found: reckon.WireLoad) -> str:
    as_mass = words.number(found.tension_at_supports_n / reckon.STANDARD_GRAVITY_M_S2, 0)
    half_sag = reckon.tension_at_supports_n(found.load_n_per_m, found.span_m, found.sag_m / 2)
    return _(
        "{mass} kg hang on the span; the wire pulls at its supports with {pull} N, as if {kg} kg hung on it. "
        "With half the sag it would be {tighter} N."
    ).format(
        mass=figures["wire_mass_kg"].text,
        pull=figures["wire_pull_n"].text,
        kg=as_mass,
        tighter=words.number(half_sag, 0),
    )
