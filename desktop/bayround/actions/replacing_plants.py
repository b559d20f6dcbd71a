"""A marked plant that died is replaced while the bay is keyed in, and that is taken back."""

from __future__ import annotations

from datetime import datetime

from bayround.actions.farm import OpenFarm
from bayround.facts.farm import MarkedPlant
from bayround.facts.rounds import PlantState
from bayround.records import replacing


def replace_plant(
    farm: OpenFarm,
    visit_id: str,
    marked_plant_id: str,
    person_id: str | None = None,
    now: datetime | None = None,
) -> MarkedPlant:
    """Mark a plant as dead at this visit and another one in its place, which is returned.

    Raises:
        Refused: when the visit is finished, or the plant was replaced before.
    """
    return replacing.replace_plant(farm.store, visit_id, marked_plant_id, person_id, now)


def take_back_replacing(
    farm: OpenFarm,
    visit_id: str,
    marked_plant_id: str,
    before: PlantState,
    person_id: str | None,
    now: datetime,
) -> None:
    """Let a plant be as it was found *before* it was replaced; the one marked in its place never stood.

    Raises:
        Refused: when the visit is finished, or the new plant has numbers already.
    """
    replacing.take_back(farm.store, visit_id, marked_plant_id, before, person_id, now)
