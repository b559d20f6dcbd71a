"""Questions the data cannot answer, said in words.

A function that cannot answer honestly returns ``Refused`` instead of a number. The sentences are fixed texts,
so that whoever shows one can translate it; ``N_`` only marks them for the catalogue.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Refused:
    """No answer, and why: ``refused`` is one of the sentences below."""

    refused: str


def N_(sentence: str) -> str:
    """Marks a sentence for the translation catalogue and hands it back unchanged."""
    return sentence


NO_SCATTER: Final = N_(
    "All plants in both bays read the same, so their scatter is unknown and nothing can be compared."
)
CENSUS_TOO_BLIND: Final = N_(
    "Even looking at every plant would not find it this surely, because too much is overlooked."
)
TOO_MANY_PLANTS_NEEDED: Final = N_("More than a million plants would be needed.")

NOTHING_FOUND: Final = N_("Nothing was found, so only an upper limit can be given, not a density.")
TOO_MANY_INFESTED: Final = N_(
    "So many units are infested that counting infested units no longer tells how many there are."
)
CROWDING_TOO_STRONG: Final = N_(
    "The pest crowds so strongly that the share infested no longer tells how many there are."
)

TOO_FEW_SETS: Final = N_("Too few counted sets to fit how the scatter grows with the mean.")
MEANS_TOO_ALIKE: Final = N_(
    "The means of the sets are too much alike to fit how the scatter grows with them."
)
NOT_CLUMPED: Final = N_(
    "The counts scatter no more than chance would make them, so there is no clumping to describe."
)
EXPONENT_TOO_NEAR_TWO: Final = N_(
    "The pest crowds so strongly that a count cannot reach this precision; use infested or not."
)
TOO_FEW_INSPECTED: Final = N_("This precision cannot be reached with so few units, whatever is counted.")

TOO_FEW_DATES: Final = N_("Too few dates for this level of certainty.")
NO_PLANT_TWICE: Final = N_("No plant was measured at both dates.")
NO_CHANGE_IN_DATE: Final = N_("All readings are of the same date.")
CURVE_NOT_FOUND: Final = N_("No growth curve of this kind fits these readings.")
NO_CEILING_YET: Final = N_("Growth has not slowed down enough to show where it will end.")
LEVEL_ABOVE_CURVE: Final = N_("The fitted curve may end below this level, so no date can be given.")
SLOPE_NOT_CLEAR: Final = N_("The slope is not clearly different from zero, so no date can be given.")

ONE_CATEGORY_ONLY: Final = N_(
    "Both scouts used one and the same category throughout, so agreement beyond chance is undefined."
)
NO_SPREAD_TO_COMPARE: Final = N_(
    "The readings do not differ from plant to plant, so agreement cannot be measured."
)
