"""The walk at the left: bay after bay, each with a shape and a word for its state."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from bayround import words
from bayround.actions.rounds import WalkStop
from bayround.facts.rounds import VisitState
from bayround.window import theme
from bayround.window.visit.entry_model import NOWHERE, Index
from bayround.words import _

_LINE = Qt.ItemDataRole.UserRole
_WORDS = {None: "to do", VisitState.DRAFT: "begun", VisitState.DONE: "done"}


@dataclass(frozen=True, slots=True)
class WalkLine:
    """A house as a heading, or a stop in it."""

    house: str
    stop: WalkStop | None = None

    @property
    def word(self) -> str:
        """The state of the visit in a word; a bay done in another round of the week says when."""
        if self.stop is None:
            return ""
        if self.stop.state is None and self.stop.done_on is not None:
            return _("done {day}").format(day=words.weekday(self.stop.done_on))
        return _(_WORDS[self.stop.state])

    @property
    def spoken(self) -> str:
        """The line in words."""
        if self.stop is None:
            return self.house
        who = _("{state} by {person}").format(state=self.word, person=self.stop.done_by)
        return f"{self.house}, {self.stop.bay.name}: {who if self.stop.done_by else self.word}"


class WalkModel(QAbstractListModel):
    """The stops of a round in walking order, under their houses."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: list[WalkLine] = []
        self.open_bay_id = ""

    def show(self, stops: tuple[WalkStop, ...]) -> None:
        """Show a walk."""
        lines: list[WalkLine] = []
        for stop in stops:
            if not lines or lines[-1].house != stop.house.name:
                lines.append(WalkLine(stop.house.name))
            lines.append(WalkLine(stop.house.name, stop))
        same = [line.spoken for line in lines] == [line.spoken for line in self.lines]
        if not same:
            self.beginResetModel()
        self.lines = lines
        if not same:
            self.endResetModel()

    @property
    def stops(self) -> list[WalkStop]:
        """The stops in walking order."""
        return [line.stop for line in self.lines if line.stop is not None]

    @property
    def _here(self) -> int | None:
        return next((row for row, stop in enumerate(self.stops) if stop.bay.id == self.open_bay_id), None)

    def beside(self, by: int) -> WalkStop | None:
        """Return the stop so many after the open one, if there is one."""
        here, stops = self._here, self.stops
        return stops[here + by] if here is not None and 0 <= here + by < len(stops) else None

    def upcoming(self) -> WalkStop | None:
        """Return the next stop after the open one, round the walk, that is begun or to do."""
        here, stops = self._here, self.stops
        following = stops if here is None else [*stops[here + 1 :], *stops[:here]]
        return next((stop for stop in following if stop.is_to_do or stop.state is VisitState.DRAFT), None)

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """One row a line."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a line, or its words."""
        if not index.isValid():
            return None
        line = self.lines[index.row()]
        if role == _LINE:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return line.stop.bay.name if line.stop else line.house
        return (
            line.spoken if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole) else None
        )

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Houses can't be stopped at."""
        is_stop = index.isValid() and self.lines[index.row()].stop is not None
        return super().flags(index) if is_stop else Qt.ItemFlag.NoItemFlags

    def index_of(self, bay_id: str) -> QModelIndex:
        """Return the line of a bay."""
        for row, line in enumerate(self.lines):
            if line.stop is not None and line.stop.bay.id == bay_id:
                return self.index(row)
        return QModelIndex()


class WalkList(QListView):
    """Arrows go along the walk, Enter opens a bay.

    Signals:
        chosen: the stop to open.
    """

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.walk = WalkModel(self)
        self.setModel(self.walk)
        self.setItemDelegate(_WalkDelegate(self))
        self.setAccessibleName(_("Bays of this round in walking order"))
        self.setUniformItemSizes(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.clicked.connect(self._choose)

    def show_walk(self, stops: tuple[WalkStop, ...]) -> None:
        """Show a walk; the cursor stays on its bay."""
        line = self.currentIndex().data(_LINE)
        self.walk.show(stops)
        if isinstance(line, WalkLine) and line.stop is not None:
            self.go_to(line.stop.bay.id)
        self.viewport().update()

    def show_open(self, bay_id: str) -> None:
        """Show which bay is open."""
        self.walk.open_bay_id = bay_id
        self.go_to(bay_id)
        self.viewport().update()

    def go_to(self, bay_id: str) -> None:
        """Put the cursor on a bay."""
        index = self.walk.index_of(bay_id)
        if index.isValid():
            self.setCurrentIndex(index)

    def progress(self) -> str:
        """Return how many bays are done, in words."""
        stops = self.walk.stops
        done = sum(stop.state is VisitState.DONE for stop in stops)
        elsewhere = sum(stop.state is None and stop.done_on is not None for stop in stops)
        text = _("{done} of {all} bays done").format(done=done, all=len(stops))
        return text + (", " + _("{n} in another round").format(n=elsewhere) if elsewhere else "")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens the bay under the cursor."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            self._choose(self.currentIndex())
            return
        super().keyPressEvent(event)

    def _choose(self, index: QModelIndex) -> None:
        line = index.data(_LINE)
        if isinstance(line, WalkLine) and line.stop is not None:
            self.chosen.emit(line.stop)


class _WalkDelegate(QStyledItemDelegate):
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(120, max(26, option.fontMetrics.height() + 10))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        line, model, colours = index.data(_LINE), index.model(), theme.now()
        rect = option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = Qt.AlignmentFlag.AlignVCenter
        if line.stop is None:
            painter.setFont(theme.scaled(option.font, 0.9, bold=True))
            painter.setPen(QColor(colours.quiet))
            painter.drawText(rect.adjusted(10, 4, -6, 0), Qt.AlignmentFlag.AlignLeft | middle, line.house)
            painter.restore()
            return
        is_open = isinstance(model, WalkModel) and model.open_bay_id == line.stop.bay.id
        if is_open:
            painter.fillRect(rect, QColor(colours.chosen))
            painter.fillRect(QRectF(rect.left(), rect.top(), 4, rect.height()), QColor(colours.accent))
        size = option.fontMetrics.ascent() * 0.95
        paint_state(
            painter,
            QRectF(rect.left() + 12, rect.center().y() - size / 2 + 0.5, size, size),
            line.stop.state,
            elsewhere=line.stop.state is None and line.stop.done_on is not None,
        )
        _write(
            painter, rect.adjusted(int(20 + size), 0, -10, 0), option, line.stop.bay.name, line.word, is_open
        )
        view = option.widget
        if view is not None and view.hasFocus() and option.state & QStyle.StateFlag.State_HasFocus:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(colours.accent), 2))
            painter.drawRect(QRectF(rect).adjusted(1, 1, -2, -2))
        painter.restore()


def _write(
    painter: QPainter, inside: QRect, option: QStyleOptionViewItem, name: str, word: str, bold: bool
) -> None:
    """The bay's name at the left, the word for its state at the right, each shortened to its share."""
    middle, shorten = Qt.AlignmentFlag.AlignVCenter, Qt.TextElideMode.ElideRight
    painter.setFont(theme.scaled(option.font, 0.86))
    painter.setPen(QColor(theme.now().quiet))
    short = painter.fontMetrics().elidedText(word, shorten, inside.width() * 78 // 100)
    painter.drawText(inside, Qt.AlignmentFlag.AlignRight | middle, short)
    left_over = inside.width() - painter.fontMetrics().horizontalAdvance(short) - 8
    painter.setFont(theme.scaled(option.font, 1.0, bold=bold))
    painter.setPen(QColor(theme.now().ink))
    text = painter.fontMetrics().elidedText(name, shorten, left_over)
    painter.drawText(inside, Qt.AlignmentFlag.AlignLeft | middle, text)


def paint_state(painter: QPainter, box: QRectF, state: VisitState | None, *, elsewhere: bool = False) -> None:
    """Ring: to do; ring half full: begun; full disc with a tick: done; ring with a tick: done in another round."""
    colours = theme.now()
    painter.setPen(QPen(QColor(colours.edge if state is None else colours.accent), 1.6))
    painter.setBrush(QColor(colours.sheet))
    painter.drawEllipse(box)
    painter.setBrush(QColor(colours.accent))
    if state is VisitState.DRAFT:
        painter.drawChord(box, 180 * 16, 180 * 16)
    elif state is VisitState.DONE:
        painter.drawEllipse(box)
        _tick(painter, box, colours.on_accent)
    elif elsewhere:
        _tick(painter, box, colours.ink)


def _tick(painter: QPainter, box: QRectF, colour: str) -> None:
    painter.setPen(QPen(QColor(colour), 1.8))
    width, height = box.width(), box.height()
    painter.drawPolyline(
        [
            QPointF(box.left() + width * 0.27, box.top() + height * 0.53),
            QPointF(box.left() + width * 0.44, box.top() + height * 0.69),
            QPointF(box.left() + width * 0.74, box.top() + height * 0.34),
        ]
    )
