"""How much room text takes, estimated on the safe side: whoever paints it makes it smaller if need be."""

from __future__ import annotations

_MM_A_POINT = 25.4 / 72
_WIDE, _BOLD_WIDE = 0.56, 0.64
"""Mean width of a letter of DejaVu Sans, the widest of the usual sans serif faces, in its size (measured)."""

_LINE = 1.25

HIGHEST_MM = 60.0
"""No text takes more of a page than this."""


def line_height_mm(size_pt: float) -> float:
    """Return the height of one line."""
    return size_pt * _MM_A_POINT * _LINE


def width_mm(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Return about how wide a text is on one line."""
    return len(text) * size_pt * _MM_A_POINT * (_BOLD_WIDE if bold else _WIDE)


def lines(text: str, room_mm: float, size_pt: float, *, bold: bool = False) -> int:
    """Return how many lines a text takes when it breaks between words, and within words that are too long."""
    letters = max(1, int(room_mm / (size_pt * _MM_A_POINT * (_BOLD_WIDE if bold else _WIDE))))
    count = 0
    for paragraph in text.split("\n"):
        used = 0
        count += 1
        for word in paragraph.split():
            length = len(word)
            if used and used + 1 + length > letters:
                count, used = count + 1, 0
            used += length + (1 if used else 0)
            while used > letters:
                count, used = count + 1, used - letters
    return count


def height_mm(text: str, room_mm: float, size_pt: float, *, bold: bool = False) -> float:
    """Return the height of a text that is broken into lines; a very long one gets less and is painted smaller."""
    return min(HIGHEST_MM, lines(text, room_mm, size_pt, bold=bold) * line_height_mm(size_pt))
