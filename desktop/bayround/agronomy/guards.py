"""Two more kinds of impossible input, refused in words: below nothing, and not a share. See `inputs`."""

import math

__all__ = ["not_negative_number", "share_from_none_to_all"]


def not_negative_number(value: float, name: str) -> float:
    """``value`` itself; ValueError unless it is finite and not below 0."""
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"{name} must not be below 0, not {value}")
    return float(value)


def share_from_none_to_all(value: float, name: str) -> float:
    """``value`` itself; ValueError unless it lies from 0 to 1, both allowed."""
    if not 0 <= value <= 1:
        raise ValueError(f"{name} must lie from 0 to 1, not {value}")
    return float(value)
