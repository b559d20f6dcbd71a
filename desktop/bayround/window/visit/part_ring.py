"""F6: from part to part of the Visit screen, round and round."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from bayround.window.visit.keying_page import KeyingPage


def parts_of(page: KeyingPage, panel: QWidget, walk: QWidget, page_shown: bool) -> list[QWidget]:
    """Return the parts that F6 goes through, in their order."""
    if not page_shown:
        return [walk]
    sections = page.sections
    below = (
        [page.review] if page.reviewing else [sections.checks, sections.cards, sections.weeds, sections.note]
    )
    return [page.grid, *below, panel, walk]


def part_after(ring: Sequence[QWidget], focus: QWidget | None, by: int) -> QWidget:
    """Return the part so many steps after the one the keyboard is in; from nowhere, the first (or the last)."""
    here = next((place for place, part in enumerate(ring) if focus and _within(focus, part)), -by)
    return ring[(here + by) % len(ring)]


def _within(widget: QWidget, part: QWidget) -> bool:
    return widget is part or part.isAncestorOf(widget)
