"""What may be typed into a number cell, and when the number is complete. Plain functions, no window.

A cell moves on by itself as soon as no further key could give a likely number. An unlikely number never
moves on by itself: it waits for Enter, so that a slip does not run into the next cell unseen.
"""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from enum import Enum, auto

from bayround import words
from bayround.words import _

DECIMAL_MARKS = ".,"
_MOST_WHOLE_DIGITS = 6


@dataclass(frozen=True, slots=True)
class NumberRule:
    """What one cell takes.

    Attributes:
        label: name of the cell for messages, ``Height of plant 3``.
        unit: unit shown in messages, empty for counts.
        decimals: places after the mark that can be typed; 0 lets no mark in.
        hard_low, hard_high: outside these a number is refused.
        likely_low, likely_high: outside these a number waits for Enter.
    """

    label: str
    unit: str
    decimals: int
    hard_low: float
    hard_high: float
    likely_low: float
    likely_high: float


class Settled(Enum):
    """Whether the number that stands in a cell can go on."""

    OPEN = auto()
    """More may follow: only Enter (or an arrow) ends it."""
    HELD = auto()
    """A decimal mark may follow; a further digit belongs to the next cell."""
    FULL = auto()
    """Nothing can follow: the cell moves on."""


def plain_digits(text: str) -> str:
    """Return *text* with the digits of any script as 0 to 9; other characters stay."""
    return "".join(
        str(unicodedata.digit(mark)) if unicodedata.digit(mark, -1) >= 0 else mark for mark in text
    )


def can_stand(text: str, rule: NumberRule) -> bool:
    """Tell whether *text* can stand in the cell, finished or not: digits and at most one decimal mark."""
    marks = [place for place, mark in enumerate(text) if mark in DECIMAL_MARKS]
    if len(marks) > 1 or any(mark not in DECIMAL_MARKS and mark not in "0123456789" for mark in text):
        return False
    if not marks:
        return len(text) <= _MOST_WHOLE_DIGITS
    whole, decimals = text[: marks[0]], text[marks[0] + 1 :]
    return rule.decimals > 0 and len(whole) <= _MOST_WHOLE_DIGITS and len(decimals) <= rule.decimals


def parse(text: str) -> float | None:
    """Return the number typed, or none when there is none yet (nothing, or only a decimal mark)."""
    plain = text.strip().replace(",", ".")
    return float(plain) if plain and plain != "." else None


def refusal(value: float, rule: NumberRule) -> str:
    """Return why a number can't be right, or nothing when it can."""
    if not math.isfinite(value):
        return _("{label}: this is not a number.").format(label=rule.label)
    shown = _with_unit(value, rule)
    if value > rule.hard_high:
        limit = _with_unit(rule.hard_high, rule)
        return _("{label}: {value} can't be right, {limit} is the most.").format(
            label=rule.label, value=shown, limit=limit
        )
    if value < rule.hard_low:
        limit = _with_unit(rule.hard_low, rule)
        return _("{label}: {value} can't be right, {limit} is the least.").format(
            label=rule.label, value=shown, limit=limit
        )
    return ""


def settled(text: str, rule: NumberRule) -> Settled:
    """Tell whether the number typed so far is complete.

    It is when it is likely itself and ten times it is not, so that a further digit could only be a slip.
    """
    value = parse(text)
    if value is None or not rule.likely_low <= value <= rule.likely_high or refusal(value, rule):
        return Settled.OPEN
    marked = any(mark in text for mark in DECIMAL_MARKS)
    if marked:
        return Settled.FULL if len(text.replace(",", ".").split(".")[1]) == rule.decimals else Settled.OPEN
    if value != 0 and value * 10 <= rule.likely_high:
        return Settled.OPEN
    return Settled.HELD if rule.decimals else Settled.FULL


def shown(value: float | None, decimals: int) -> str:
    """Return a number as it stands in a cell: no idle zeros after the mark."""
    if value is None:
        return ""
    text = words.number(value, decimals)
    return text.rstrip("0").rstrip(DECIMAL_MARKS) if decimals else text


def _with_unit(value: float, rule: NumberRule) -> str:
    return f"{shown(value, rule.decimals)} {rule.unit}".strip()
