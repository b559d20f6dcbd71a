"""A block of numbers from a spreadsheet, checked whole before any of it is taken."""

from __future__ import annotations

from collections.abc import Callable

from bayround.window.parts.number_entry import NumberRule, can_stand, parse, plain_digits, refusal
from bayround.words import MISSING, _

Place = tuple[int, int]
NOTHING_PASTED = "Nothing was pasted. {why}"
_SKIPS = ("", "-", MISSING)


class BadBlock(Exception):
    """The first thing in a pasted block that can't be taken, in words."""


def read_block(text: str) -> list[list[str]]:
    """Return the cells of a block: lines by newline, cells by tab; the last line's end is no line."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    while lines and not lines[-1].strip():
        lines.pop()
    return [[cell.strip() for cell in line.split("\t")] for line in lines]


def numbers_of(
    text: str,
    start: Place,
    size: Place,
    rule_of: Callable[[int, int], NumberRule],
    why_shut: Callable[[int], str],
) -> list[tuple[Place, float]]:
    """Return (row, column) and number for every filled cell of a block put down at *start*.

    *size* is rows and columns of the grid; *why_shut* says why a row takes nothing, or nothing when it does.

    Raises:
        BadBlock: naming the first bad cell; then nothing may be taken.
    """
    block = read_block(text)
    if not any(cell not in _SKIPS for line in block for cell in line):
        raise BadBlock(_("The clipboard holds no numbers."))
    rows, columns = len(block), max(len(line) for line in block)
    if start[0] + rows > size[0] or start[1] + columns > size[1]:
        raise BadBlock(
            _("The block has {rows} lines of {columns} cells and runs past the edge of the sheet.").format(
                rows=rows, columns=columns
            )
        )
    found = []
    for row, line in enumerate(block, start[0]):
        for column, cell in enumerate(line, start[1]):
            if cell not in _SKIPS:
                found.append(((row, column), _number(cell, rule_of(row, column), why_shut(row))))
    return found


def _number(cell: str, rule: NumberRule, why_shut: str) -> float:
    if why_shut:
        raise BadBlock(f"{rule.label}: {why_shut}")
    text = plain_digits(cell)
    value = parse(text) if can_stand(text, rule) else None
    if value is None:
        shape = (
            _("{label}: “{cell}” is not a number with at most {decimals} decimals.")
            if rule.decimals
            else _("{label}: “{cell}” is not a whole number.")
        )
        raise BadBlock(shape.format(label=rule.label, cell=cell[:40], decimals=rule.decimals))
    why = refusal(value, rule)
    if why:
        raise BadBlock(why)
    return value
