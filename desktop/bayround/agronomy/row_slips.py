"""A line of the sheet keyed twice, or skipped: the row above again, or every row after it one plant off."""

from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.inputs import positive_number, same_length
from bayround.agronomy.slips import Doubt, Expectation, Rule

#: One misfit counts no more than this many squared spreads: a single slip is not taken for shifted rows.
_LARGEST_SQUARE = 9.0


@dataclass(frozen=True, slots=True)
class RowDoubt:
    """A doubt about the sheet from the row ``first_row`` on, counted from 0."""

    first_row: int
    doubt: Doubt


def check_repeated_row(
    row: Sequence[float | None], above: Sequence[float | None], fewest_fields: int = 3
) -> list[Doubt]:
    """Doubt when every field filled in this row repeats the row above it.

    Both rows in the same order of fields, ``None`` where nothing was keyed. Asks only when at least
    ``fewest_fields`` are filled in both and one is not zero: clean plants do read alike in one or two fields.
    Raises ValueError for unequal lengths.
    """
    same_length(row, above, "fields of both rows")
    pairs = [
        (mine, upper) for mine, upper in zip(row, above, strict=True) if mine is not None or upper is not None
    ]
    if len(pairs) < fewest_fields or any(mine != upper for mine, upper in pairs):
        return []
    return [Doubt("row-repeated", None)] if any(mine for mine, _ in pairs) else []


def check_row_order(
    values: Sequence[float | None], expected: Sequence[Expectation | None], evidence: float = 6.0
) -> list[RowDoubt]:
    """Does the column fit better one plant off, from some row to the end? At most one doubt.

    ``values`` as keyed and what each plant's past leads one to expect, both in the order of the sheet; use a
    field that never falls and differs from plant to plant, such as height. For each possible row the squared
    misfits as keyed are summed against those one plant down (a row was skipped) or up (a row was keyed
    twice); half the gain is a log likelihood ratio, doubted from ``evidence`` (e^6 is 400 to 1). Raises
    ValueError for unequal lengths.
    """
    same_length(values, expected, "values and expectations")
    positive_number(evidence, "evidence")
    best: tuple[float, int, Rule] | None = None
    for rule, off in (("row-skipped", 1), ("row-doubled", -1)):
        gain = 0.0
        for row in range(len(values) - 1, -1, -1):
            gain += (_misfit(values, expected, row, 0) - _misfit(values, expected, row, off)) / 2.0
            if gain >= evidence and (best is None or gain > best[0]):
                best = (gain, row, "row-skipped" if rule == "row-skipped" else "row-doubled")
    return [] if best is None else [RowDoubt(best[1], Doubt(best[2], None))]


def _misfit(
    values: Sequence[float | None], expected: Sequence[Expectation | None], row: int, off: int
) -> float:
    """Squared misfit of a row's value to the plant ``off`` rows on; where that is unknown, as keyed."""
    value = values[row]
    own = expected[row]
    other = expected[row + off] if 0 <= row + off < len(expected) else own
    if value is None or own is None or other is None:
        return 0.0
    return min(_LARGEST_SQUARE, (other if off else own).distance(value) ** 2)
