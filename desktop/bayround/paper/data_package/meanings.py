"""What fields mean to other programs: UCUM units, references between tables, names of the MIAPPE checklist.

Units: UCUM 2.2 (2024). MIAPPE names: checklist 1.2, a mapping to its field names only; no conformance is claimed.
"""

from __future__ import annotations

from collections.abc import Mapping

_UNITS = (
    ("_cm2", "cm2"), ("_mol_m2", "mol/m2"), ("_m2", "m2"), ("_cm", "cm"), ("_mm", "mm"), ("_kg", "kg"), ("_m", "m"), ("_percent", "%"),
    ("_c", "Cel"), ("_kpa", "kPa"), ("_hours", "h"), ("_days", "d"), ("_years", "a"),
)  # fmt: skip
_UNITS_OF: Mapping[str, str] = {
    "kg": "kg", "kg_low": "kg", "kg_high": "kg", "hours": "h", "hours_estimated": "h", "hours_per_week": "h/wk",
    "days_hung": "d", "fruit": "{fruit}", "fruit_low": "{fruit}", "fruit_high": "{fruit}", "level": "1",
    "bias_factor": "1", "plants": "{plant}", "stems": "{stem}", "stems_per_plant": "{stem}/{plant}",
    "inspected": "{unit}", "infested": "{unit}", "counted": "{individual}", "count": "{insect}", "nodes": "{node}",
    "trusses": "{truss}", "leaves": "{leaf}", "flowers": "{flower}", "fruit_set": "{fruit}",
    "fruit_green": "{fruit}", "fruit_turning": "{fruit}", "fruit_coloured": "{fruit}", "fruit_picked": "{fruit}",
}  # fmt: skip

_REFERENCES: Mapping[str, str] = {
    "house_id": "house", "bay_id": "bay", "planting_id": "planting", "marked_plant_id": "marked_plant",
    "round_id": "round", "visit_id": "visit", "job_id": "job", "treatment_id": "treatment", "trial_id": "trial",
    "batch_id": "import_batch", "person_id": "person", "scout_id": "person", "applied_by_id": "person",
    "picked_by_id": "person", "checked_by_id": "person", "counted_by_id": "person", "replaces_id": "marked_plant",
}  # fmt: skip

_MIAPPE: Mapping[tuple[str, str], str] = {
    ("farm", "name"): "Investigation title",
    ("trial", "id"): "Study unique ID",
    ("trial", "name"): "Study title",
    ("trial", "question"): "Study description",
    ("trial", "started_on"): "Start date of study",
    ("trial", "ended_on"): "End date of study",
    ("trial", "design"): "Type of experimental design",
    ("trial", "main_factor"): "Experimental factor type",
    ("trial", "sub_factor"): "Experimental factor type",
    ("trial", "measure"): "Variable name",
    ("trial", "measure_unit"): "Scale",
    ("trial", "note"): "Description of the experimental design",
    ("trial_plot", "id"): "Observation unit ID",
    ("trial_plot", "name"): "External ID",
    ("trial_plot", "block"): "Spatial distribution",
    ("trial_plot", "bay_id"): "Spatial distribution",
    ("trial_plot", "main_level"): "Observation unit factor value",
    ("trial_plot", "sub_level"): "Observation unit factor value",
    ("planting", "id"): "Biological material ID",
    ("planting", "crop"): "Organism",
    ("planting", "variety"): "Infraspecific name",
    ("house", "kind"): "Description of growth facility",
    ("person", "name"): "Person name",
    ("person", "role"): "Person role",
}


def unit(name: str) -> str:
    """Return the UCUM code of a field's unit, empty where it has none."""
    if name in _UNITS_OF:
        return _UNITS_OF[name]
    if name.startswith(("map_", "first_", "last_row")) and not name.endswith("_m"):
        return ""
    return next((code for ending, code in _UNITS if name.endswith(ending)), "")


def reference(name: str) -> str:
    """Return the table whose key a field holds, empty where it holds none."""
    return _REFERENCES.get(name, "")


def miappe(table: str, name: str) -> str:
    """Return the MIAPPE field that a field maps to, empty where there is none."""
    return _MIAPPE.get((table, name), "")
