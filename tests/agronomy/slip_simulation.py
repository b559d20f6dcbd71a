"""Invented rounds with and without typing slips, for measuring how many slips are doubted and how many
clean values.

Ten marked plants; heights in cm grow 3 to 8 cm a week (each plant at its own pace, each week warmer or
cooler for all) with a standard deviation of 1.5 cm, read to the whole centimetre; four counts of fruit
stages between 0 and 12.
"""

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bayround.agronomy.row_slips import check_repeated_row, check_row_order
from bayround.agronomy.slips import FieldLimits, Neighbour, check_value, expect_from_past

PLANTS, COUNTS = 10, 4
HEIGHTS = {
    decimals: FieldLimits(
        5.0,
        400.0,
        usual_spread=1.5,
        decimals=decimals,
        never_falls=True,
        largest_weekly_rise=20.0,
        measuring_error=1.0,
        plant_spread=8.0,
    )
    for decimals in (0, 1)
}
COUNT = FieldLimits(0.0, 60.0, 1.0, counted=True, plant_spread=1.5)

#: One row a plant: height, then the counts; None where nothing was keyed.
Round = Sequence[Sequence[float | None]]


@dataclass
class Bay:
    """Rounds of a bay: one list of rows a week, each row a height and the counts of one plant."""

    rounds: list[list[list[float]]]
    decimals: int


def grow_bay(draw: random.Random, weeks: int, decimals: int = 0, spread_cm: float = 1.5) -> Bay:
    """A clean bay of ``weeks`` rounds."""
    heights = [draw.gauss(45.0, 8.0) for _ in range(PLANTS)]
    pace = [draw.uniform(3.0, 8.0) for _ in range(PLANTS)]
    loads = [[min(9.0, draw.gammavariate(3.0, 1.3)) for _ in range(COUNTS)] for _ in range(PLANTS)]
    rounds: list[list[list[float]]] = []
    for _ in range(weeks):
        weather = draw.uniform(0.8, 1.2)
        heights = [
            h + max(0.0, draw.gauss(p * weather, spread_cm)) for h, p in zip(heights, pace, strict=True)
        ]
        rows = []
        for plant in range(PLANTS):
            counts = [float(min(12, poisson(draw, load))) for load in loads[plant]]
            rows.append([round(heights[plant], decimals), *counts])
        rounds.append(rows)
    return Bay(rounds, decimals)


def poisson(draw: random.Random, mean: float) -> int:
    """A Poisson draw by counting exponential gaps."""
    count, at = 0, draw.expovariate(1.0)
    while at < mean:
        count, at = count + 1, at + draw.expovariate(1.0)
    return count


def doubted_cells(
    bay: Bay, typed: Round, fields: Sequence[int] = range(1 + COUNTS), whole_rows: bool = True
) -> set[tuple[int, int]]:
    """Cells (plant, field) doubted while ``typed`` is keyed as the round after all of ``bay``, row by row.

    Only the ``fields`` named are looked at; a whole row doubted is noted as field -1.
    """
    past, day, height = bay.rounds, 7.0 * len(bay.rounds), HEIGHTS[bay.decimals]
    doubted: set[tuple[int, int]] = set()
    for field in fields:
        limits = height if field == 0 else COUNT
        neighbours: list[Neighbour] = []
        for plant in range(PLANTS):
            history = [(7.0 * week, rows[plant][field]) for week, rows in enumerate(past)]
            value = typed[plant][field]
            if value is None:
                continue
            if check_value(value, day, history, limits, neighbours):
                doubted.add((plant, field))
            neighbours.append(Neighbour(value, history[-1][1] if history else None))
    if not whole_rows:
        return doubted
    for plant in range(1, PLANTS):
        if check_repeated_row(typed[plant], typed[plant - 1]):
            doubted.add((plant, -1))
    histories = [[(7.0 * week, rows[plant][0]) for week, rows in enumerate(past)] for plant in range(PLANTS)]
    expected = [expect_from_past(history, day, height) for history in histories]
    for found in check_row_order([row[0] for row in typed], expected):
        doubted.add((found.first_row, -1))
    return doubted


def ten_times(text: str, draw: random.Random) -> str:
    """A nought too many, or the point one place right."""
    whole, _, part = text.partition(".")
    return f"{whole}{part[0]}.{part[1:] or '0'}" if part else text + "0"


def tenth(text: str, draw: random.Random) -> str:
    """The point one place left; of a whole number the last digit is lost."""
    whole, _, part = text.partition(".")
    return f"{whole[:-1] or '0'}.{whole[-1]}" if part else text[:-1]


def at_random(change: Callable[[str, int], str]) -> Callable[[str, random.Random], str]:
    """A slip at a random digit of the number, the decimal point left where it is counted from the right."""

    def slip(text: str, draw: random.Random) -> str:
        digits = text.replace(".", "")
        slipped = change(digits, draw.randrange(len(digits)))
        return f"{slipped[:-1] or '0'}.{slipped[-1:]}" if "." in text and slipped else slipped

    return slip


DIGIT_SLIPS: dict[str, Callable[[str, random.Random], str]] = {
    "ten times": ten_times,
    "a tenth": tenth,
    "digit dropped": at_random(lambda digits, at: digits[:at] + digits[at + 1 :]),
    "digit doubled": at_random(lambda digits, at: digits[: at + 1] + digits[at:]),
    "digits swapped": at_random(
        lambda digits, at: (
            digits if at == 0 else digits[: at - 1] + digits[at] + digits[at - 1] + digits[at + 1 :]
        )
    ),
}


def slip_a_digit(value: float, kind: str, decimals: int, draw: random.Random) -> float | None:
    """``value`` with one slip of the hand; None when the slip leaves nothing or changes nothing."""
    text = f"{value:.{decimals}f}"
    slipped = DIGIT_SLIPS[kind](text, draw)
    return None if slipped in ("", ".") or float(slipped) == value else float(slipped)


def skip_a_row(rows: Round, at: int) -> Round:
    """The sheet keyed with row ``at`` skipped: every later row one plant up, the last plant left empty."""
    return [*rows[:at], *rows[at + 1 :], [None] * (1 + COUNTS)]


def double_a_row(rows: Round, at: int) -> Round:
    """The sheet keyed with row ``at`` twice: every later row one plant down, the last row not keyed."""
    return [*rows[: at + 1], *rows[at:-1]]
