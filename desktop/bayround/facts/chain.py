"""The chain of corrections: each entry's hash holds all entries before it."""

from __future__ import annotations

import hashlib
import json
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC

from bayround.facts.work import Correction

NO_CORRECTIONS = "0" * 64
"""Head of a history without entries, where one has to be written down."""


def link(head: str, entry: Correction) -> str:
    """Return the hash of an entry that follows the entry with the hash *head* (empty: it is the first)."""
    content = [
        entry.id, entry.table_name, entry.row_id, entry.field, entry.before, entry.after, entry.person_id,
        entry.corrected_at.astimezone(UTC).isoformat(), entry.reason,
    ]  # fmt: skip
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(f"{head}\n{text}".encode()).hexdigest()


def heads(entries: Iterable[Correction]) -> Iterator[str]:
    """Yield the hash of each entry of the chain that *entries* make in this order."""
    head = ""
    for entry in entries:
        head = link(head, entry)
        yield head


def reckon(entries: Sequence[Correction]) -> str:
    """Return the head of the chain that *entries* make in this order (empty when there is none)."""
    return deque(heads(entries), maxlen=1).pop() if entries else ""
