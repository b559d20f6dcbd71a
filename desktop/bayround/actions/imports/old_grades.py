"""Severity of old records: a Horsfall–Barratt grade, written HB 4, becomes the middle of its class in percent."""

from __future__ import annotations

import re

from bayround.agronomy import incidence

_GRADE = re.compile(r"(?:hb|horsfall[ –-]barratt)\s*([0-9]{1,2})", re.IGNORECASE | re.ASCII)


def percent_of(text: str) -> float | None:
    """Return the percent of a grade 1 to 12; nothing for any other text. New records take the percent itself."""
    found = _GRADE.fullmatch(text.strip())
    try:
        return incidence.horsfall_barratt_percent(int(found[1])) if found else None
    except ValueError:
        return None
