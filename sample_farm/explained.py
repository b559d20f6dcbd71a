"""Why the invented people picked or worked on the day of a treatment: they were done before it began."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta, timezone

from bayround.facts.season import SeasonFacts
from bayround.facts.work import Explanation
from bayround.jobs import inside

from .chance import fact_id

SAID = "Done before the treatment began; fruit and people were out of the house (invented)."
_ZONES = tuple(timezone(timedelta(hours=hours)) for hours in (-12, -6, 0, 6, 14))
"""A farm's days are those of the computer's own clock: the sample is explained wherever it is looked at."""


def of_season(season: SeasonFacts, seed: int) -> tuple[Explanation, ...]:
    """Return an explanation of all that lies inside an interval, for each treatment, the same on every computer."""
    wanted = {
        (one.table_name, one.row_id, one.day, item.id, item.known_as)
        for zone in _ZONES
        for told in inside.of_farm(season, zone=zone).values()
        for one in told
        for item, _why in one.reasons
    }
    return tuple(
        Explanation(
            id=fact_id(seed, day, "explanation", table, row, treatment),
            table_name=table,
            row_id=row,
            treatment_id=treatment,
            known_as=known_as,
            said=SAID,
            kept_at=datetime.combine(day, time(18), UTC),
        )
        for table, row, day, treatment, known_as in sorted(wanted)
    )
