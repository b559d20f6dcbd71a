"""What was done: treatments, picks, numbers of the farm's own, closed weeks."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import insert, select

from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.work import (
    Pick,
    ProfileOverride,
    Treatment,
    TreatmentBay,
    WeekClose,
)
from bayround.records import tables as t
from bayround.records.codec import row_of
from bayround.records.store import Store
from bayround.words import _


def add_treatment(store: Store, treatment: Treatment, bay_ids: Iterable[str]) -> tuple[TreatmentBay, ...]:
    """Write a treatment and the bays it covered.

    Raises:
        Refused: when it covered no bay: nobody would be kept out of anywhere.
    """
    covered = tuple(TreatmentBay(new_id(), treatment.id, bay_id) for bay_id in dict.fromkeys(bay_ids))
    if not covered:
        raise Refused(
            _("A treatment needs the bays it covered."), _("Nothing was changed."), _("Choose the bays.")
        )
    with store.writing() as connection:
        connection.execute(insert(t.treatment).values(row_of(treatment)))
        connection.execute(insert(t.treatment_bay), [row_of(bay) for bay in covered])
    return covered


def add_pick(store: Store, pick: Pick) -> None:
    """Write a pick.

    Raises:
        Refused: when the planting is not of this bay.
    """
    with store.writing() as connection:
        bay_id = connection.execute(
            select(t.planting.c.bay_id).where(t.planting.c.id == pick.planting_id)
        ).scalar()
        if bay_id is not None and bay_id != pick.bay_id:
            raise Refused(_("This planting is not in this bay."), _("Nothing was changed."))
        connection.execute(insert(t.pick).values(row_of(pick)))


def override_number(store: Store, override: ProfileOverride) -> None:
    """Keep a number of a crop profile that this farm changed; earlier ones stay, the last one holds."""
    with store.writing() as connection:
        connection.execute(insert(t.profile_override).values(row_of(override)))


def close_week(store: Store, close: WeekClose) -> bool:
    """Keep that a week's workbook went out, and what it held; false when this closing is kept already."""
    with store.reading() as connection:
        if connection.execute(select(t.week_close.c.id).where(t.week_close.c.id == close.id)).scalar():
            return False
    with store.writing() as connection:
        connection.execute(insert(t.week_close).values(row_of(close)))
    return True
