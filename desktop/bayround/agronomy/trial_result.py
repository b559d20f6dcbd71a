"""What goes into the analysis of a trial, and what comes out of it."""

from dataclasses import dataclass
from enum import StrEnum

from bayround.agronomy.anova import AnovaLine, Source, WhyNoAnova
from bayround.agronomy.comparisons import Share, TreatmentDifference
from bayround.agronomy.trial_checks import ResidualChecks, Scale

__all__ = [
    "AnalysedTrial",
    "DescribedMean",
    "DescribedTrial",
    "Design",
    "FactorMeans",
    "Method",
    "PlantReading",
    "Plot",
    "TreatmentMean",
    "WithinPlotDifference",
]


class Design(StrEnum):
    """How the plots were laid out."""

    COMPLETELY_RANDOMISED = "completely_randomised"
    BLOCKS = "blocks"
    SPLIT_PLOT = "split_plot"


class Method(StrEnum):
    """How pairs are compared. LSD counts only after a significant F test, and holds for one pair, not all."""

    TUKEY = "tukey"
    LSD = "lsd"


@dataclass(frozen=True, slots=True)
class PlantReading:
    """One plant (or one pick) in a plot; ``value`` None when it could not be read."""

    plot: str
    treatment: str
    value: float | None
    block: str | None = None
    whole: str | None = None


@dataclass(frozen=True, slots=True)
class Plot:
    """One plot: its value (the mean of its plants), None when lost.

    whole: treatment of the whole plot it lies in (split plots only). plants, plant_variance: how many
    plants stand behind the value, and their variance; they are described, never used as replicates.
    """

    name: str
    treatment: str
    value: float | None
    block: str | None = None
    whole: str | None = None
    plants: int = 1
    plant_variance: float | None = None


@dataclass(frozen=True, slots=True)
class TreatmentMean:
    """Mean of a treatment on the scale tested, with its interval; ``back_*`` in the unit of the plots.

    Two means that share a letter do not differ significantly.
    """

    treatment: str
    plots: int
    mean: float
    standard_error: float
    low: float
    high: float
    letters: str
    back_mean: float
    back_low: float
    back_high: float


@dataclass(frozen=True, slots=True)
class FactorMeans:
    """Treatments compared with one another; ``within`` names the whole-plot treatment they are compared in.

    comparisons: every pair; empty under LSD without a significant F test. honest_difference,
    least_difference: the one difference that is significant, where all pairs have the same error (None
    otherwise; least_difference also None without a significant F test). smallest_detectable_difference:
    what this trial would have found four times in five. explained: share of the variation.
    """

    source: Source
    within: str | None
    line: AnovaLine
    method: Method
    means: tuple[TreatmentMean, ...]
    comparisons: tuple[TreatmentDifference, ...]
    honest_difference: float | None
    least_difference: float | None
    smallest_detectable_difference: float
    explained: Share


@dataclass(frozen=True, slots=True)
class AnalysedTrial:
    """A trial whose layout allows a test.

    odd_plot: name of the plot farthest out. coefficient_of_variation_percent: error deviation over the
    grand mean, plain scale only. plots_missing, treatments_lost: what the analysis had to do without.
    """

    design: Design
    scale: Scale
    alpha: float
    lines: tuple[AnovaLine, ...]
    factors: tuple[FactorMeans, ...]
    checks: ResidualChecks
    odd_plot: str | None
    plots_used: int
    plots_missing: tuple[str, ...]
    treatments_lost: tuple[str, ...]
    coefficient_of_variation_percent: float | None
    blocking_efficiency: float | None


@dataclass(frozen=True, slots=True)
class DescribedMean:
    """Mean of the plots of one treatment, not tested."""

    treatment: str
    plots: int
    mean: float


@dataclass(frozen=True, slots=True)
class WithinPlotDifference:
    """First less second; the interval, if any, is about the plants of these two plots and nothing more."""

    first: str
    second: str
    difference: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class DescribedTrial:
    """A trial described, not tested: ``reason`` says why. There is no p-value here, on purpose."""

    design: Design
    reason: WhyNoAnova
    means: tuple[DescribedMean, ...]
    differences: tuple[WithinPlotDifference, ...]
    plots_missing: tuple[str, ...]
