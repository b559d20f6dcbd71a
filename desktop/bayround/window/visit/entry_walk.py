"""From cell to cell of an entry model: where Enter goes, which choice a letter means, what is copied."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex

from bayround.window.visit.entry_model import EntryModel, Value


def stop_after(entries: EntryModel, index: QModelIndex, by: int) -> QModelIndex:
    """Return the next (1) or last (-1) stop of the walk, row by row; invalid at the end."""
    columns = entries.columnCount()
    place = index.row() * columns + index.column() + by if index.isValid() else 0
    while 0 <= place < entries.rowCount() * columns:
        found = entries.index(*divmod(place, columns))
        if entries.is_stop(found):
            return found
        place += by
    return QModelIndex()


def choice_after(entries: EntryModel, index: QModelIndex, letter: str) -> Value:
    """Return the next choice that begins with *letter* (space: any), round and round; none when there is none."""
    choices = entries.choices(index)
    values = [value for value, _word in choices]
    fitting = [
        value for value, word in choices if letter == " " or word.casefold().startswith(letter.casefold())
    ]
    if not fitting:
        return None
    now = entries.value(index)
    later = [value for value in fitting if now in values and values.index(value) > values.index(str(now))]
    return (later or fitting)[0]


def value_above(entries: EntryModel, index: QModelIndex) -> Value:
    """Return what stands in the cell above, or none."""
    above = index.siblingAtRow(index.row() - 1)
    return entries.value(above) if above.isValid() else None


def copied_text(entries: EntryModel, chosen: Sequence[QModelIndex]) -> str:
    """Return the smallest block of cells that holds the chosen ones, as a spreadsheet takes it."""
    rows = [index.row() for index in chosen]
    columns = [index.column() for index in chosen]
    if not rows:
        return ""
    lines = [
        [str(entries.index(row, column).data() or "") for column in range(min(columns), max(columns) + 1)]
        for row in range(min(rows), max(rows) + 1)
    ]
    return "\n".join("\t".join(line) for line in lines)
