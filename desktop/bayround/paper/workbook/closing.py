"""What ties a workbook to the farm file: digest of the week's facts, head of the history, revision, as-of day.

It stands on the sheet “About these numbers” for people, and in the document's properties for `bayround verify`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bayround import __version__, words
from bayround.week import closed
from bayround.week.snapshot import WeekSnapshot
from bayround.words import _

FARM, WEEK, AS_OF, LOOKED_ON = "Bayround farm", "Bayround week", "Bayround as of", "Bayround looked on"
REVISION, DIGEST, CORRECTIONS = "Bayround revision", "Bayround digest", "Bayround corrections"
HEAD, CLOSED, VERSION = "Bayround head of corrections", "Bayround closed", "Bayround version"


def properties(snapshot: WeekSnapshot, digest: str) -> Iterator[tuple[str, str]]:
    """Yield the document properties, all as texts, in order."""
    yield FARM, snapshot.farm.id
    yield WEEK, str(snapshot.week)
    yield AS_OF, snapshot.as_of.isoformat()
    yield LOOKED_ON, (snapshot.looked_on or snapshot.as_of).isoformat()
    yield REVISION, str(snapshot.revision)
    yield DIGEST, digest
    yield CORRECTIONS, str(snapshot.corrections)
    if snapshot.chain_head:
        yield HEAD, snapshot.chain_head
    if snapshot.close is not None:
        yield CLOSED, snapshot.close.closed_at.isoformat()
    yield VERSION, __version__


def put(workbook: Any, name: str, text: str) -> None:
    """Write one property."""
    from openpyxl.packaging.custom import StringProperty

    workbook.custom_doc_props.append(StringProperty(name=name, value=text))


LABELS = ("Closed", "Digest of the week", "History of corrections")
"""Labels of the lines `facts` yields, untranslated."""


def facts(snapshot: WeekSnapshot, digest: str) -> Iterator[tuple[str, str]]:
    """Yield what the sheet says: label and text."""
    close = snapshot.close
    if close is None:
        told = _("The week was not closed when this workbook was written.")
    else:
        told = closed.told(snapshot)
    yield _(LABELS[0]), told
    digest_text = _(
        "{digest} (SHA-256 over the week's visits, picks, treatments, house checks, temperatures and set-up)"
    )
    yield _(LABELS[1]), digest_text.format(digest=digest)
    count = words.counted("{n} correction", "{n} corrections", snapshot.corrections)
    head = _("{count}; the hash of the newest holds all before it: {head}")
    yield _(LABELS[2]), head.format(count=count, head=snapshot.chain_head) if snapshot.chain_head else count
