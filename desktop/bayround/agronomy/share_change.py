"""Has the share infested changed? Between two visits, and over several.

Units are taken as independent draws. Plants in clumps make both answers surer than they should be.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.distributions import two_sided_z
from bayround.agronomy.incidence import wilson_interval
from bayround.agronomy.inputs import counts_of, finite_numbers, same_length

__all__ = ["ShareChange", "ShareTrend", "share_change", "share_trend", "trend_is_clear"]


@dataclass(frozen=True, slots=True)
class ShareChange:
    """Later share minus earlier share (both 0 to 1), with its interval."""

    change: float
    low: float
    high: float
    level: float


@dataclass(frozen=True, slots=True)
class ShareTrend:
    """Straight-line change of a share per day; ``z`` is the test statistic for no trend."""

    slope_per_day: float
    z: float


def share_change(earlier: tuple[int, int], later: tuple[int, int], level: float = 0.95) -> ShareChange:
    """Change of a share between two samples, each (infested, inspected), with Newcombe's hybrid interval.

    Limits from the two Wilson intervals: d - √((p2-l2)²+(u1-p1)²) to d + √((u2-p2)²+(p1-l1)²) (Newcombe 1998,
    Stat. Med. 17:873-890, method 10). Raises ValueError unless 0 <= infested <= inspected and inspected >= 1.
    """
    one, two = wilson_interval(*earlier, level), wilson_interval(*later, level)
    change = two.share - one.share
    return ShareChange(
        change,
        change - math.hypot(two.share - two.low, one.high - one.share),
        change + math.hypot(two.high - two.share, one.share - one.low),
        level,
    )


def share_trend(
    days: Sequence[float], infested: Sequence[int], inspected: Sequence[int]
) -> ShareTrend | None:
    """Linear trend of a share over several visits: the Cochran-Armitage statistic z, and the slope per day.

    z² is chi-square with one degree of freedom when there is no trend (Armitage 1955, Biometrics 11:375-386).
    None when all or no units are infested, or all visits are of one day. Raises ValueError for unequal
    lengths or infested beyond inspected.
    """
    at = finite_numbers(days, "days", 2)
    same_length(at, infested, "days and infested")
    same_length(infested, inspected, "infested and inspected")
    pairs = [counts_of(found, looked) for found, looked in zip(infested, inspected, strict=True)]
    units = sum(looked for _found, looked in pairs)
    share = sum(found for found, _looked in pairs) / units
    mean_day = math.fsum(looked * day for (_found, looked), day in zip(pairs, at, strict=True)) / units
    spread = math.fsum(looked * (day - mean_day) ** 2 for (_f, looked), day in zip(pairs, at, strict=True))
    if spread == 0.0 or not 0.0 < share < 1.0:
        return None
    together = math.fsum(found * (day - mean_day) for (found, _l), day in zip(pairs, at, strict=True))
    return ShareTrend(together / spread, together / math.sqrt(share * (1.0 - share) * spread))


def trend_is_clear(trend: ShareTrend, level: float = 0.95) -> bool:
    """Whether the statistic lies beyond the two-sided normal quantile of ``level``."""
    return abs(trend.z) > two_sided_z(level)
