"""Load on a crop wire and the pull it puts on its ends.

The wire is taken as a parabola between level supports under an even load (civil engineering handbook
formulas, chapter 10, equations 10.57 to 10.59; NPTEL course 105101085). The figures are for an even,
resting crop: no wind, no jerk, no uneven posts, no strength of any wire, post or house. They are a
reason to ask the supplier or an engineer, never a proof that a wire holds: every result carries
`CAUTION`, and whoever shows the result shows the caution.
"""

import math
from dataclasses import dataclass
from typing import Final

from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number
from bayround.agronomy.refusals import N_

__all__ = [
    "CAUTION",
    "STANDARD_GRAVITY_M_S2",
    "CropOnWire",
    "WireLoad",
    "crop_on_wire",
    "tension_at_mid_span_n",
    "tension_at_supports_n",
    "wire_length_m",
    "wire_load",
]

CAUTION: Final = N_(
    "Crop wires, strings, posts and houses must be sized by the supplier or an engineer. This figure is for "
    "an even, resting load without wind; it does not show that anything holds. Keep people out from under "
    "loaded wires while they are tightened or when a house is damaged."
)
STANDARD_GRAVITY_M_S2 = 9.80665


@dataclass(frozen=True, slots=True)
class CropOnWire:
    """What hangs on one metre of one wire: kg/m by part, and the pull in N/m."""

    plant_kg_per_m: float
    fruit_kg_per_m: float
    wire_kg_per_m: float
    total_kg_per_m: float
    load_n_per_m: float
    caution: str = CAUTION


@dataclass(frozen=True, slots=True)
class WireLoad:
    """One loaded span. Forces in N, lengths in m. ``caution`` must be shown with any of these figures."""

    load_n_per_m: float
    span_m: float
    sag_m: float
    tension_at_mid_span_n: float
    tension_at_supports_n: float
    upright_pull_on_support_n: float
    wire_length_m: float
    caution: str = CAUTION


def crop_on_wire(
    *,
    plants_per_m: float,
    plant_kg: float,
    fruit_per_plant: float,
    fruit_kg: float,
    wire_kg_per_m: float = 0.0,
) -> CropOnWire:
    """Mass and pull of plants and fruit on one metre of wire.

    ``plants_per_m``: plants hung on one metre of this wire (halve it when two wires share the plants);
    ``plant_kg``: one plant without fruit; ``fruit_kg``: one fruit. Pull = mass x standard gravity.
    Errors: ValueError when a number is negative, or nothing hangs on the wire.
    """
    positive_number(plants_per_m, "plants_per_m")
    plant_kg_per_m = plants_per_m * not_negative_number(plant_kg, "plant_kg")
    fruit_on_plant_kg = not_negative_number(fruit_per_plant, "fruit_per_plant") * not_negative_number(
        fruit_kg, "fruit_kg"
    )
    total = plant_kg_per_m + plants_per_m * fruit_on_plant_kg
    total += not_negative_number(wire_kg_per_m, "wire_kg_per_m")
    if total == 0:
        raise ValueError("nothing hangs on the wire: plant_kg and fruit are all 0")
    return CropOnWire(
        plant_kg_per_m=plant_kg_per_m,
        fruit_kg_per_m=plants_per_m * fruit_on_plant_kg,
        wire_kg_per_m=float(wire_kg_per_m),
        total_kg_per_m=total,
        load_n_per_m=total * STANDARD_GRAVITY_M_S2,
    )


def tension_at_mid_span_n(load_n_per_m: float, span_m: float, sag_m: float) -> float:
    """Level pull at the lowest point of the wire, N: H = w L² / (8 d) (equation 10.57).

    Errors: ValueError when load, span or sag is not greater than 0.
    """
    positive_number(load_n_per_m, "load_n_per_m")
    return load_n_per_m * positive_number(span_m, "span_m") ** 2 / (8 * positive_number(sag_m, "sag_m"))


def tension_at_supports_n(load_n_per_m: float, span_m: float, sag_m: float) -> float:
    """Pull along the wire at its ends, N: T = sqrt(H² + (w L / 2)²) (equation 10.58).

    A widely copied page leaves out the square on (w L / 2). Errors: ValueError when a number is not
    greater than 0.
    """
    return math.hypot(tension_at_mid_span_n(load_n_per_m, span_m, sag_m), load_n_per_m * span_m / 2)


def wire_length_m(span_m: float, sag_m: float) -> float:
    """Length of the loaded wire between its supports, m: arc of the parabola, exact for any sag.

    The handbook's S = L + 8 d² / (3 L) (equation 10.59) is the start of its series, good for sags up to
    a twentieth of the span. Errors: ValueError when span or sag is not greater than 0.
    """
    slope = 4 * positive_number(sag_m, "sag_m") / positive_number(span_m, "span_m")
    return span_m / 2 * (math.hypot(1, slope) + math.asinh(slope) / slope)


def wire_load(load_n_per_m: float, span_m: float, sag_m: float) -> WireLoad:
    """Pull, length and upright pull of one evenly loaded span (N and m).

    ``load_n_per_m`` is the pull of what hangs on one metre (`crop_on_wire`), ``sag_m`` the drop at
    mid-span. Errors: ValueError when a number is not greater than 0.
    """
    return WireLoad(
        load_n_per_m=float(load_n_per_m),
        span_m=float(span_m),
        sag_m=float(sag_m),
        tension_at_mid_span_n=tension_at_mid_span_n(load_n_per_m, span_m, sag_m),
        tension_at_supports_n=tension_at_supports_n(load_n_per_m, span_m, sag_m),
        upright_pull_on_support_n=load_n_per_m * span_m / 2,
        wire_length_m=wire_length_m(span_m, sag_m),
    )
