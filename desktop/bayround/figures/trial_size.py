"""How many plots a trial would need for differences of several sizes; shown behind what a layout can see."""

from __future__ import annotations

import math

from bayround import words
from bayround.agronomy import power
from bayround.words import _

DIFFERENCES_PERCENT = (10, 20, 30)
_COUNTED_PERCENT = 20


def plots_wanted(
    spread_percent: float, treatments: int, *, in_blocks: bool, counted_mean: float | None = None
) -> tuple[tuple[str, str], ...]:
    """Return (what, how many) lines: plots for 80 % power at 5 %, for a pair alone, for all treatments, for counts.

    *spread_percent* is how much plots vary in % of their mean; in blocks they are compared within the block.
    *counted_mean*: where single plants are counted, what they usually carry. Differences beyond any trial are left out.
    """
    lines = []
    for percent in DIFFERENCES_PERCENT:
        try:
            pair = power.plots_for_two_means(
                percent, spread_percent * (math.sqrt(2) if in_blocks else 1), paired=in_blocks
            )
        except ValueError:
            continue
        said = _("{n} of each").format(n=math.ceil(pair))
        if treatments > 2:
            effect = percent / spread_percent / math.sqrt(2 * treatments)
            every = math.ceil(power.plots_for_f_test(effect, treatments))
            said += _("; {n} in all for the F test of {t} treatments").format(n=every, t=treatments)
        lines.append((_("Plots to see {percent} % between two").format(percent=percent), said))
    if counted_mean:
        other = counted_mean * (1 - _COUNTED_PERCENT / 100)
        plots = math.ceil(power.plots_for_two_counts(counted_mean, other))
        what = _("Plots of a single plant to tell {usual} from {other} fruit, counts by chance alone").format(
            usual=words.number(counted_mean, 1), other=words.number(other, 1)
        )
        lines.append((what, _("{n} of each").format(n=plots)))
    return tuple(lines)
