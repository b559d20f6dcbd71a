"""A program of its own that keys cells in until it is killed, and says of each when it is saved."""

from __future__ import annotations

from multiprocessing.connection import Connection
from pathlib import Path

from bayround.facts.rounds import READING_FIELDS
from bayround.records.farm_file import open_farm
from bayround.records.write_visit import save_cell


def key_in(path: Path, visit_id: str, plant_ids: list[str], first: int, said: Connection) -> None:
    """Save cell after cell, values *first* (above zero) and up; tell (plant, field, value) after each save."""
    store = open_farm(path)
    number = first
    while True:
        plant_id = plant_ids[number % len(plant_ids)]
        field = READING_FIELDS[number // len(plant_ids) % len(READING_FIELDS)]
        save_cell(store, visit_id, plant_id, field, float(number))
        said.send((plant_id, field, float(number)))
        number += 1
