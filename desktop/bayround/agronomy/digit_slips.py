"""What a hand does to a number on the way to the keys: which numbers may have been meant."""

from dataclasses import dataclass
from typing import Literal

from bayround.agronomy.inputs import finite_number, whole_number

DigitRule = Literal["ten-times", "tenth", "digits-swapped", "digit-doubled", "digit-dropped"]


@dataclass(frozen=True, slots=True)
class Meant:
    """A number that may have been meant, and the slip that turned it into what was keyed."""

    rule: DigitRule
    value: float


def meant_values(keyed: float, decimals: int = 0) -> tuple[Meant, ...]:
    """Every number that one slip turns into ``keyed``; ``decimals`` are those of the field.

    Slips: decimal point one place right or left, two neighbouring digits swapped, a digit typed twice (either
    of a pair), a digit left out. ``keyed`` itself is never among them. Raises ValueError for a negative
    number.
    """
    if finite_number(keyed, "keyed value") < 0.0:
        raise ValueError(f"keyed value must not be negative, not {keyed}")
    places = whole_number(decimals, "decimals")
    digits = f"{round(keyed * 10**places)}".rjust(places + 1, "0")
    found: dict[tuple[DigitRule, float], None] = {}

    def add(rule: DigitRule, value: float) -> None:
        if value != keyed:
            found.setdefault((rule, value))

    if digits.endswith("0"):
        add("ten-times", round(keyed / 10.0, places))
    add("tenth", round(keyed * 10.0, places))
    scale = float(10**places)
    for at in range(len(digits) - 1):
        swapped = digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :]
        add("digits-swapped", int(swapped) / scale)
        if digits[at] == digits[at + 1]:
            add("digit-doubled", int(digits[:at] + digits[at + 1 :]) / scale)
    for at in range(len(digits) + 1):
        for digit in "0123456789":
            add("digit-dropped", int(digits[:at] + digit + digits[at:]) / scale)
    add("ten-times", round(keyed / 10.0, places))
    return tuple(Meant(rule, value) for rule, value in found)
