"""Every text a person reads passes through here: screens, workbook and command line alike.

Texts are looked up in gettext catalogues under ``resources/translations`` (made with Babel);
numbers and dates follow the person's choice. English is written in the code.
"""

from __future__ import annotations

import gettext
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from bayround import places

_catalogue: gettext.NullTranslations = gettext.NullTranslations()
_decimal_mark = "."

MISSING = "–"  # shown where there is no value; the reason is in the figure


def use(language: str = "", decimal_mark: str = ".") -> None:
    """Choose language and decimal mark for everything written from now on."""
    global _catalogue, _decimal_mark
    if decimal_mark not in {".", ","}:
        raise ValueError("The decimal mark is . or ,")
    _decimal_mark = decimal_mark
    _catalogue = gettext.translation(
        "bayround", places.resources_dir() / "translations", [language] if language else ["en"], fallback=True
    )


def _(text: str) -> str:
    """Return *text* in the person's language."""
    return _catalogue.gettext(text)


def counted(one: str, many: str, number: int) -> str:
    """Return the singular or plural text with ``{n}`` filled in."""
    return _catalogue.ngettext(one, many, number).format(n=number)


@lru_cache(maxsize=16384)
def round_half_up(value: float, decimals: int) -> Decimal:
    """Round as a person and an office program do: halves away from zero, on the shortest decimal form."""
    rounded = Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return abs(rounded) if rounded == 0 else rounded


def number(value: float | Decimal, decimals: int) -> str:
    """Return a number with a fixed number of decimals and the chosen decimal mark (no grouping)."""
    shown = value if isinstance(value, Decimal) else round_half_up(value, decimals)
    return f"{shown:.{decimals}f}".replace(".", _decimal_mark)


def day(value: date | None) -> str:
    """Return a date as ``2026-11-25`` (ISO 8601), or the sign for a missing value."""
    return MISSING if value is None else f"{value.year:04d}-{value.month:02d}-{value.day:02d}"


def weekday(value: date) -> str:
    """Return the weekday of a date, ``Wed``."""
    return (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))[value.weekday()]


def weekday_day(value: date) -> str:
    """Return a date with its weekday, ``Wed 2026-11-25``."""
    return f"{weekday(value)} {day(value)}"


def moment(value: datetime) -> str:
    """Return a local date and time to the minute."""
    return value.strftime("%Y-%m-%d %H:%M")


def listing(items: list[str] | tuple[str, ...], at_most: int = 6) -> str:
    """Return ``a, b, c`` or ``a, b and 4 more``."""
    if len(items) <= at_most:
        return ", ".join(items)
    more = counted("and {n} more", "and {n} more", len(items) - at_most)
    return ", ".join(items[:at_most]) + " " + more
