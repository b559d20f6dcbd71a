"""Sticky cards: what hung where, for how many days, and what it caught."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QObject

from bayround.facts.ids import new_id
from bayround.facts.rounds import CardCount
from bayround.week.visit_sheet import VisitSheet
from bayround.window.parts.number_entry import NumberRule
from bayround.window.visit.entry_model import Index, Takes, Value
from bayround.window.visit.record_model import RecordModel
from bayround.window.visit.record_row import Column, RecordRow
from bayround.words import _

COLOURS = ("yellow", "blue")
MOST_CAUGHT = 99_999
MOST_DAYS = 90


class CardsModel(RecordModel):
    """The cards typed, and an empty row for the next one; a count is enough, the rest is offered."""

    columns = (
        Column("card", "Card", words=True),
        Column("organism", "Insect", words=True),
        Column("count", "Caught", needed=True),
        Column("days_hung", "Days hung", "Days"),
        Column("colour", "Colour", words=True),
    )

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._next_ids: dict[tuple[str, int], str] = {}

    def rows_of(self, sheet: VisitSheet) -> list[RecordRow]:
        """Return the cards of the visit and an empty row."""
        known = {card.id for card in sheet.cards}
        rows = [RecordRow(card.id, self.values_of(card), card) for card in sheet.cards]
        rows += [row for row in self.rows if row.id in self.waiting and row.id not in known]
        return [*rows, self._empty(sheet.visit.id, rows)]

    def _empty(self, visit_id: str, rows: list[RecordRow]) -> RecordRow:
        """Return the empty row that follows: the same one each time, and none that holds a card already."""
        place, known = (visit_id, len(rows)), {row.id for row in rows}
        if self._next_ids.setdefault(place, new_id()) in known:
            self._next_ids[place] = new_id()
        return RecordRow(self._next_ids[place], {})

    def kind(self, index: Index) -> Takes:
        """Numbers, choices and the card's name."""
        by_key = {"card": Takes.TEXT, "organism": Takes.CHOICE, "colour": Takes.CHOICE}
        return by_key.get(self.key(index), Takes.NUMBER)

    def is_stop(self, index: Index) -> bool:
        """Enter stops at the insect and the count; the rest is offered and reached with arrows."""
        return not self.shut and self.key(index) in ("organism", "count")

    def rule(self, index: Index) -> NumberRule:
        """Return the limits of a number cell."""
        label = f"{self.name_of(self.row(index))}, {_(self.columns[index.column()].label)}"
        if self.key(index) == "count":
            return NumberRule(label, "", 0, 0.0, float(MOST_CAUGHT), 0.0, float(MOST_CAUGHT))
        return NumberRule(label, _("days"), 1, 0.1, float(MOST_DAYS), 0.1, float(MOST_DAYS))

    def choices(self, index: Index) -> tuple[tuple[str, str], ...]:
        """Return the insects looked for, or the colours of cards."""
        if self.key(index) == "organism":
            return tuple((key, _(name)) for key, name in self._insects())
        return tuple((colour, _(colour)) for colour in COLOURS) if self.key(index) == "colour" else ()

    def _insects(self) -> list[tuple[str, str]]:
        organisms = [wanted.organism for wanted in self.sheet.look_for] if self.sheet else []
        on_cards = [
            organism
            for organism in organisms
            if any(threshold.kind == "card_per_day" for threshold in organism.thresholds)
        ]
        others = [organism for organism in organisms if organism not in on_cards and organism.kind == "pest"]
        return [(organism.key, organism.name) for organism in (*on_cards, *others)]

    def usual(self, row: RecordRow, key: str) -> Value:
        """Offer the next card number, the row above's insect and colour, and the days since the last visit."""
        place = self.place_of(row.id) or 0
        above = self.rows[place - 1].values if place else {}
        if key == "card":
            return str(place + 1)
        if key == "organism":
            insects = self._insects()
            return above.get("organism") or (insects[0][0] if insects else None)
        if key == "colour":
            return above.get("colour") or COLOURS[0]
        if key == "days_hung" and self.sheet is not None and self.sheet.last_visit_on is not None:
            return float((self.sheet.visit.visited_on - self.sheet.last_visit_on).days) or None
        return None

    def name_of(self, row: RecordRow) -> str:
        """Return the card's name."""
        return _("Card {name}").format(name=row.values.get("card") or self.usual(row, "card"))

    def put_values(self, place: int, values: dict[str, Value]) -> bool:
        """Take values; the count takes over what is offered beside it, and an empty row follows."""
        row = self.rows[place]
        if values.get("count") is not None and row.record is None:
            keys = ("card", "organism", "days_hung", "colour")
            taken_over = {key: self.usual(row, key) for key in keys if row.values.get(key) in (None, "")}
            values = {**taken_over, **values}
        taken = super().put_values(place, values)
        if taken and row.record is not None and place == len(self.rows) - 1 and self.sheet is not None:
            following = self._empty(self.sheet.visit.id, self.rows)
            self.beginInsertRows(QModelIndex(), len(self.rows), len(self.rows))
            self.rows.append(following)
            self.endInsertRows()
        return taken

    def record_of(self, row: RecordRow) -> CardCount | None:
        """Return the card when insect, count and days are there."""
        values = row.values
        count, days = values.get("count"), values.get("days_hung")
        if count is None or days is None or not values.get("organism") or self.sheet is None:
            return None
        return CardCount(
            id=row.id,
            visit_id=self.sheet.visit.id,
            card=str(values.get("card") or ""),
            organism=str(values["organism"]),
            count=int(float(count)),
            days_hung=float(days),
            area_cm2=row.record.area_cm2 if isinstance(row.record, CardCount) else None,
            colour=str(values.get("colour") or ""),
        )
