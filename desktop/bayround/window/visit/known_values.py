"""What this desk last knew to be in the farm, value by value: typed values are saved only over that.

Sheets that are shown tell it on the screen's thread, saves that went through tell it on the farm's thread.
A value that waits to be saved is not learnt from a sheet: the person typed over what was known before.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping
from datetime import datetime

from bayround.facts.rounds import PlantState
from bayround.facts.typed import Place, Typed
from bayround.week.visit_sheet import VisitSheet
from bayround.window.visit.record_row import Record

Key = Hashable
"""As of `Keeper`: kind, visit and what it is about."""


class KnownValues:
    """Known values by the keeper's keys; a key that was never seen has no value or record yet."""

    def __init__(self) -> None:
        self._values: dict[Key, object] = {}

    def learn(self, sheet: VisitSheet, waiting: Collection[Key]) -> None:
        """Take what a sheet shows, except for keys in *waiting*."""
        visit_id = sheet.visit.id
        shown: dict[Key, object] = {("note", visit_id): sheet.visit.note}
        for row in sheet.rows:
            plant, reading = row.plant.id, row.reading
            shown["state", visit_id, plant] = reading.state if reading else PlantState.STANDING
            for field in sheet.fields:
                cell = ("cell", visit_id, (plant, field.key))
                shown[cell] = reading.value(field.key) if reading else None
        records: tuple[Record, ...] = (*sheet.checks, *sheet.cards, *sheet.weeds)
        for record in records:
            shown["record", visit_id, record.id] = record
        gone = [key for key in self._values if _is_record_of(key, visit_id) and key not in shown]
        for key in gone:
            if key not in waiting:
                del self._values[key]
        self._values.update({key: value for key, value in shown.items() if key not in waiting})

    def saved(self, key: Key, value: object) -> None:
        """Note what a save of this desk put there, or what the person was told that it is now."""
        self._values[key] = value

    def value(self, key: Key) -> object:
        """Return what is known of a key."""
        return self._values.get(key)

    def saving(
        self,
        changes: Mapping[Key, tuple[Place, object]],
        person_id: str | None,
        at: datetime,
        save: Callable[[Typed], None],
    ) -> None:
        """Save changes (key → its place in the farm and the value typed) over what is known when it is done.

        Raises:
            TypedMeanwhile: when something else stands there; nothing of *changes* was saved then.
        """
        typed = Typed(person_id, at, {place: self.value(key) for key, (place, _value) in changes.items()})
        save(typed)
        for key, (_place, value) in changes.items():
            self.saved(key, value)


def _is_record_of(key: Key, visit_id: str) -> bool:
    return isinstance(key, tuple) and key[:2] == ("record", visit_id)
