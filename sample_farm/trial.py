"""Two trials of the invented farm: one with replicates, whose rows are plots, and one without, which is only described."""

from __future__ import annotations

from datetime import date

from bayround.agronomy.trial_layout import blocks_layout
from bayround.facts.trials import Trial, TrialDesign, TrialPlot

from .chance import fact_id, normal, stream
from .set_up import SetUp

BEGUN, ENDED = date(2026, 8, 24), date(2026, 11, 16)
COVERS = {"bare soil": 0.0, "black film": 0.55, "straw": 0.32}
"""Ground covers, and what each adds to the pick of a row in kg/m² in this story."""

USUAL_KG_M2, BLOCK_SPREAD, ROW_SPREAD = 4.1, 0.35, 0.16
BLOCKS = (("S1", 1), ("S1", 4), ("S2", 1), ("S2", 4))
"""Each block: the bay and its first of three rows."""


def all_trials(seed: int, set_up: SetUp) -> tuple[tuple[Trial, ...], tuple[TrialPlot, ...]]:
    """Return both trials and their plots."""
    covers, cover_plots = _ground_cover(seed, set_up)
    houses, house_plots = _houses(seed, set_up)
    return (covers, houses), (*cover_plots, *house_plots)


def _ground_cover(seed: int, set_up: SetUp) -> tuple[Trial, list[TrialPlot]]:
    trial = Trial(
        id=fact_id(seed, BEGUN, "trial", "ground cover"),
        name="Ground cover between the rows",
        question="Does covering the ground bring more kilograms, and which cover?",
        design=TrialDesign.BLOCKS,
        main_factor="ground cover",
        measure="typed",
        measure_unit="kg/m²",
        started_on=BEGUN,
        ended_on=ENDED,
        seed=seed,
        note="Invented. Each row was weighed by itself.",
    )
    plots = []
    for place in blocks_layout(tuple(COVERS), len(BLOCKS), seed):
        block = place.block or 1
        bay, first_row = BLOCKS[block - 1]
        row = first_row + (place.plot - 1) % len(COVERS)
        here = normal(stream(seed, "ground cover", "block", block), 0.0, BLOCK_SPREAD)
        chance = normal(stream(seed, "ground cover", "row", bay, row), 0.0, ROW_SPREAD)
        plots.append(
            TrialPlot(
                id=fact_id(seed, BEGUN, "trial plot", bay, row),
                trial_id=trial.id,
                name=str(place.plot),
                main_level=place.treatment,
                block=str(block),
                bay_id=set_up.bays[bay].id,
                first_row=row,
                last_row=row,
                value=round(USUAL_KG_M2 + COVERS[place.treatment] + here + chance, 2),
            )
        )
    return trial, plots


def _houses(seed: int, set_up: SetUp) -> tuple[Trial, list[TrialPlot]]:
    trial = Trial(
        id=fact_id(seed, BEGUN, "trial", "net house or greenhouse"),
        name="Net house or greenhouse",
        question="Does red pepper bring more per m² in the greenhouse than in the net house?",
        design=TrialDesign.NO_REPLICATION,
        main_factor="kind of house",
        measure="kg_m2",
        measure_unit="kg/m²",
        started_on=BEGUN,
        note="Invented. One house of each kind: it can be described, not tested.",
    )
    plots = [
        TrialPlot(
            id=fact_id(seed, BEGUN, "trial plot", "house", bay),
            trial_id=trial.id,
            name=name,
            main_level=kind,
            bay_id=set_up.bays[bay].id,
        )
        for name, kind, bay in (("1", "net house", "N1"), ("2", "greenhouse", "G1"))
    ]
    return trial, plots
