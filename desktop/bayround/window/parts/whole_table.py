"""A table whose texts stand whole: long ones take several lines, and what stands elsewhere too is left out when room is short."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFont, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QComboBox, QTableView, QWidget

from bayround.window import theme

AROUND = 20
"""Pixels that a cell keeps free beside its text: 18 of the style sheet and of Qt's own painter, and two of air."""

_ROWS_MEASURED = 300
_MOST_LETTERS = 64


class WholeTable(QTableView):
    """Fits its columns into its width without a scroll bar across, as far as that goes.

    Attributes:
        wraps: columns that give way to several lines, and how many letters each keeps room for while there is any.
        left_out: columns left out one after the other when even that is not enough; they must stand elsewhere.
    """

    wraps: Mapping[int, int] = {}
    left_out: Sequence[int] = ()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWordWrap(True)

    def fit(self) -> None:
        """Share out the width anew, then give each row the lines it needs."""
        if self.model() is not None and self.width() > 0:
            fit_beside_the_scroll_bar(self, self._share_out)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the width when it changes."""
        super().resizeEvent(event)
        if event.size() != event.oldSize():
            self.fit()

    def _share_out(self, room: int) -> None:
        sections = range(self.model().columnCount())
        natural = [self._natural(section) for section in sections]
        decent = [self._kept(section, natural[section]) for section in sections]
        shown = list(sections)
        for extra in self.left_out:
            if sum(decent[section] for section in shown) > room:
                shown.remove(extra)
        least = decent if sum(decent[section] for section in shown) <= room else self._least(natural)
        widths = _narrowed([natural[at] for at in shown], [least[at] for at in shown], room)
        for section in sections:
            self.setColumnHidden(section, section not in shown)
        for section, width in zip(shown, widths, strict=True):
            self.setColumnWidth(section, width)
        heighten(self, shown)

    def _natural(self, section: int) -> int:
        measure = QFontMetrics(theme.scaled(self.font(), 1.0))
        widest = max((measure.horizontalAdvance(text) for text in self._texts(section)), default=0)
        if section in self.wraps:
            widest = min(widest, _MOST_LETTERS * measure.averageCharWidth())
        return max(widest + AROUND, self._heading(section))

    def _kept(self, section: int, natural: int) -> int:
        if section not in self.wraps:
            return natural
        letters = self.wraps[section] * QFontMetrics(self.font()).averageCharWidth() + AROUND
        return max(self._heading(section), self._longest_word(section), min(natural, letters))

    def _least(self, natural: Sequence[int]) -> list[int]:
        return [
            max(self._heading(section), self._longest_word(section)) if section in self.wraps else have
            for section, have in enumerate(natural)
        ]

    def _longest_word(self, section: int) -> int:
        measure = QFontMetrics(self.font())
        words = {word for text in self._texts(section) for word in text.split()}
        return max((measure.horizontalAdvance(word) for word in words), default=0) + AROUND

    def _heading(self, section: int) -> int:
        measure = QFontMetrics(self.horizontalHeader().font())
        lines = str(self.model().headerData(section, Qt.Orientation.Horizontal) or "").split("\n")
        return max(map(measure.horizontalAdvance, lines)) + 18

    def _texts(self, section: int) -> list[str]:
        model = self.model()
        rows = range(min(model.rowCount(), _ROWS_MEASURED))
        return [str(model.index(row, section).data() or "") for row in rows]


def fit_beside_the_scroll_bar(table: QTableView, share_out: Callable[[int], None]) -> None:
    """Share out the whole width; when the rows then need a scroll bar, share out what it leaves."""
    room = table.width() - 2 * table.frameWidth()
    share_out(room)
    model, header = table.model(), table.horizontalHeader()
    high = header.height() + sum(table.rowHeight(row) for row in range(model.rowCount()))
    if high > table.height() - 2 * table.frameWidth():
        share_out(room - table.verticalScrollBar().sizeHint().width())


def heighten(table: QTableView, sections: Sequence[int]) -> None:
    """Give every row of a table that wraps the height its longest text in *sections* needs."""
    model, plain = table.model(), QFontMetrics(table.font())
    usual = plain.height() + 8
    for row in range(model.rowCount()):
        height = usual
        for section in sections:
            index = model.index(row, section)
            text, font = str(index.data() or ""), index.data(Qt.ItemDataRole.FontRole)
            measure = QFontMetrics(font) if isinstance(font, QFont) else plain
            room = table.columnWidth(section) - AROUND + 1
            if measure.horizontalAdvance(text) > room:
                box = QRect(0, 0, room, 100_000)
                height = max(height, measure.boundingRect(box, Qt.TextFlag.TextWordWrap, text).height() + 8)
        if table.rowHeight(row) != height:
            table.setRowHeight(row, height)


def roomy_list(choice: QComboBox) -> None:
    """Open the list of a choice wide enough for its longest entry, however narrow the choice is."""
    measure = QFontMetrics(choice.font())
    texts = (choice.itemText(place) for place in range(choice.count()))
    choice.view().setMinimumWidth(max(map(measure.horizontalAdvance, texts), default=0) + 32)


def _narrowed(natural: Sequence[int], decent: Sequence[int], room: int) -> list[int]:
    """Narrow the widest columns to one width, and only as many of them as must be; none below its *decent* one."""

    def at(level: int) -> list[int]:
        return [max(least, min(have, level)) for have, least in zip(natural, decent, strict=True)]

    level = max(natural, default=0)
    if sum(natural) <= room or sum(decent) >= room:
        return list(natural) if sum(natural) <= room else list(decent)
    low = 0
    while low < level:
        middle = (low + level + 1) // 2
        if sum(at(middle)) <= room:
            low = middle
        else:
            level = middle - 1
    return at(low)
