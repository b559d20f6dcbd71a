"""Middle and spread that one wrong value cannot move: median, MAD and the modified z score."""

import math
from collections.abc import Sequence
from statistics import median
from typing import Final

from bayround.agronomy.inputs import finite_numbers

#: Iglewicz & Hoaglin 1993, How to Detect and Handle Outliers: 0.6745 (x - median) / MAD, doubtful from 3.5.
MAD_FACTOR: Final = 0.6745
MEAN_DEVIATION_FACTOR: Final = 1.253314
DOUBTFUL_Z: Final = 3.5


def median_absolute_deviation(values: Sequence[float]) -> float:
    """Median distance from the median, in the unit of the values. Raises ValueError for no value."""
    numbers = finite_numbers(values, "values")
    middle = median(numbers)
    return float(median(abs(number - middle) for number in numbers))


def robust_deviation(values: Sequence[float]) -> float:
    """Standard deviation by MAD / 0.6745; where more than half are identical by 1.253314 · mean distance.

    Unit of the values; 0 when all are identical. Raises ValueError for no value.
    """
    numbers = finite_numbers(values, "values")
    spread = median_absolute_deviation(numbers)
    if spread > 0.0:
        return spread / MAD_FACTOR
    middle = median(numbers)
    return MEAN_DEVIATION_FACTOR * math.fsum(abs(number - middle) for number in numbers) / len(numbers)
