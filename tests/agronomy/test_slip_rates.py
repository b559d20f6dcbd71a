"""How many typing slips are doubted, and how many clean values: measured on simulated rounds, fixed seed.

Two kinds of bay (heights to the whole centimetre, or to a tenth), three to nine rounds behind them. Run with
``-s`` to see the table. The targets: at most 2 in 100 clean values doubted; of the slips at least 90 in 100
ten-times ones and 70 in 100 of all.
"""

import random
from collections import Counter

import pytest
from slip_simulation import (
    COUNTS,
    DIGIT_SLIPS,
    HEIGHTS,
    PLANTS,
    Bay,
    double_a_row,
    doubted_cells,
    grow_bay,
    skip_a_row,
    slip_a_digit,
)

Tally = Counter[tuple[str, str]]


def _measure(decimals: int, bays: int, weeks: tuple[int, int], seed: int) -> tuple[Tally, Tally]:
    """(How often, how often doubted) by what was typed and by field."""
    draw = random.Random(seed)
    typed: Tally = Counter()
    doubted: Tally = Counter()
    for _ in range(bays):
        bay = grow_bay(draw, draw.randint(*weeks) + 1, decimals)
        past, today = Bay(bay.rounds[:-1], decimals), bay.rounds[-1]
        for plant, field in doubted_cells(past, today):
            doubted["clean", {0: "height", -1: "row"}.get(field, "count")] += plant >= 0
        typed["clean", "height"] += PLANTS
        typed["clean", "row"] += PLANTS
        typed["clean", "count"] += PLANTS * COUNTS
        for kind in DIGIT_SLIPS:
            for field in (0, draw.randint(1, COUNTS)):
                plant = draw.randrange(PLANTS)
                slipped = slip_a_digit(today[plant][field], kind, 0 if field else decimals, draw)
                if slipped is None:
                    continue
                rows: list[list[float]] = [list(row) for row in today]
                rows[plant][field] = slipped
                name = "count" if field else "height"
                typed[kind, name] += 1
                doubted[kind, name] += (plant, field) in doubted_cells(past, rows, [field], whole_rows=False)
        at = draw.randrange(0, PLANTS - 1)
        for kind, off in (("row skipped", skip_a_row(today, at)), ("row doubled", double_a_row(today, at))):
            typed[kind, "row"] += 1
            doubted[kind, "row"] += any(plant >= at for plant, _ in doubted_cells(past, off))
    return typed, doubted


def _share(typed: Tally, doubted: Tally, kinds: set[str]) -> float:
    keys = [key for key in typed if key[0] in kinds]
    return sum(doubted[key] for key in keys) / sum(typed[key] for key in keys)


@pytest.mark.parametrize("decimals", sorted(HEIGHTS))
@pytest.mark.parametrize(("weeks", "skipped"), [((3, 9), 0.90), ((1, 2), 0.75)])
def test_slips_are_doubted_and_clean_values_are_not(
    decimals: int, weeks: tuple[int, int], skipped: float
) -> None:
    typed, doubted = _measure(decimals, 100, weeks, seed=20240105)
    slips = {kind for kind, _ in typed} - {"clean"}
    print(f"\nheights to {decimals} decimals, {weeks[0]} to {weeks[1]} rounds behind")
    for key in sorted(typed):
        print(f"  {key[0]:<15} {key[1]:<7} {typed[key]:>5}  doubted {doubted[key] / typed[key]:7.2%}")
    print(f"  all slips {_share(typed, doubted, slips):.2%}")
    for field in ("height", "count", "row"):
        assert doubted["clean", field] / typed["clean", field] <= 0.01
    assert _share(typed, doubted, {"ten times"}) >= 0.90
    assert doubted["ten times", "height"] == typed["ten times", "height"]
    assert doubted["ten times", "count"] / typed["ten times", "count"] >= 0.80
    assert _share(typed, doubted, {"row skipped"}) >= skipped
    assert _share(typed, doubted, {"row doubled"}) >= 0.97
    assert _share(typed, doubted, slips) >= 0.90


def test_the_first_round_of_a_bay_is_only_guarded_roughly() -> None:
    """Without any past: ten-times heights are still doubted, and clean values are left alone."""
    typed, doubted = _measure(0, 60, (0, 0), seed=20240105)
    assert doubted["clean", "height"] / typed["clean", "height"] <= 0.02
    assert doubted["ten times", "height"] / typed["ten times", "height"] >= 0.85


def test_a_wrong_idea_of_the_usual_spread_does_not_flood_the_person_with_questions() -> None:
    """Plants twice as uneven as the limits say: still at most 3 in 100 clean heights doubted."""
    draw = random.Random(8)
    doubts = 0
    for _ in range(60):
        bay = grow_bay(draw, 7, spread_cm=3.0)
        doubts += len(doubted_cells(Bay(bay.rounds[:-1], 0), bay.rounds[-1], [0], whole_rows=False))
    assert doubts / (60 * PLANTS) <= 0.03
