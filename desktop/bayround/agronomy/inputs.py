"""Impossible input, refused in words before anything is computed."""

import math
from collections.abc import Iterable, Sequence


def finite_numbers(values: Iterable[float], name: str, at_least: int = 1) -> list[float]:
    """The values as floats, in order.

    Raises ValueError when fewer than ``at_least`` are given or one is not a finite number.
    """
    numbers = list(map(float, values))
    if len(numbers) < at_least:
        raise ValueError(f"{name}: at least {at_least} needed, {len(numbers)} given")
    if not all(map(math.isfinite, numbers)):
        wrong = next(number for number in numbers if not math.isfinite(number))
        raise ValueError(f"{name}: {wrong} is not a finite number")
    return numbers


def finite_number(value: float, name: str) -> float:
    """``value`` itself; ValueError unless it is a finite number."""
    if not math.isfinite(value):
        raise ValueError(f"{name} must be a finite number, not {value}")
    return float(value)


def positive_number(value: float, name: str) -> float:
    """``value`` itself; ValueError unless it is finite and above 0."""
    if not (math.isfinite(value) and value > 0.0):
        raise ValueError(f"{name} must be above 0, not {value}")
    return float(value)


def share_between(value: float, name: str) -> float:
    """``value`` itself; ValueError unless it lies strictly between 0 and 1."""
    if not 0.0 < value < 1.0:
        raise ValueError(f"{name} must lie between 0 and 1, not {value}")
    return float(value)


def whole_number(value: int, name: str, at_least: int = 0) -> int:
    """``value`` as int; ValueError unless it is a whole number of ``at_least`` or more."""
    if not math.isfinite(value) or value != int(value) or value < at_least:
        raise ValueError(f"{name} must be a whole number of at least {at_least}, not {value}")
    return int(value)


def same_length(first: Sequence[object], second: Sequence[object], names: str) -> None:
    """ValueError unless both sequences hold the same number of entries."""
    if len(first) != len(second):
        raise ValueError(f"{names} must be equally many, not {len(first)} and {len(second)}")


def counts_of(found: int, inspected: int, found_name: str = "infested") -> tuple[int, int]:
    """(found, inspected) as whole numbers; ValueError unless 0 <= found <= inspected and inspected >= 1."""
    inspected = whole_number(inspected, "inspected", at_least=1)
    found = whole_number(found, found_name)
    if found > inspected:
        raise ValueError(f"{found_name} ({found}) cannot exceed inspected ({inspected})")
    return found, inspected
