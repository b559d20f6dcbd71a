"""Small published data sets that several checks of the trial analysis share."""

INSECT_SPRAYS = {  # Beall 1942, Biometrika 32:243-262 (R datasets InsectSprays)
    "A": [10, 7, 20, 14, 14, 12, 10, 23, 17, 20, 14, 13],
    "B": [11, 17, 21, 11, 16, 14, 17, 17, 19, 21, 7, 13],
    "C": [0, 1, 7, 2, 3, 1, 2, 1, 3, 0, 1, 4],
    "D": [3, 5, 12, 6, 4, 3, 5, 5, 5, 5, 2, 4],
    "E": [3, 5, 3, 5, 3, 6, 1, 1, 3, 2, 6, 4],
    "F": [11, 9, 15, 22, 15, 16, 13, 10, 26, 26, 24, 13],
}
PLANT_GROWTH = {  # Dobson 1983, An Introduction to Statistical Modelling (R datasets PlantGrowth)
    "ctrl": [4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14],
    "trt1": [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69],
    "trt2": [6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26],
}
# Gomez & Gomez 1984, Statistical Procedures for Agricultural Research, chapter 2: rice yields (kg/ha) at six seed
# rates in four replicates (R package agridat, gomez.seedrate).
SEED_RATES = ("25", "50", "75", "100", "125", "150")
RICE = (
    (5113, 5346, 5272, 5164, 4804, 5254),
    (5398, 5952, 5713, 4831, 4848, 4542),
    (5307, 4719, 5483, 4986, 4432, 4919),
    (4678, 4264, 4749, 4410, 4748, 4098),
)
# Yates 1935, Complex experiments (R package MASS, oats): blocks I to VI, each Golden rain / Marvellous / Victory (here
# G, M, V) at 0, 0.2, 0.4, 0.6 cwt of nitrogen.
OATS = (
    ((117, 114, 161, 141), (105, 140, 118, 156), (111, 130, 157, 174)),
    ((70, 108, 126, 149), (96, 124, 121, 144), (61, 91, 97, 100)),
    ((60, 102, 89, 96), (89, 129, 132, 124), (68, 64, 112, 86)),
    ((64, 103, 132, 133), (70, 89, 104, 117), (74, 89, 81, 122)),
    ((80, 82, 94, 126), (63, 70, 109, 99), (62, 90, 100, 116)),
    ((89, 82, 86, 104), (97, 99, 119, 121), (53, 74, 118, 113)),
)
OATS_PLOTS = [
    (str(block), "GMV"[whole], f"{0.2 * sub:.1f}", float(value))
    for block, whole_plots in enumerate(OATS)
    for whole, values in enumerate(whole_plots)
    for sub, value in enumerate(values)
]
RICE_PLOTS = [
    (f"R{block + 1}", rate, float(value))
    for block, row in enumerate(RICE)
    for rate, value in zip(SEED_RATES, row, strict=True)
]


def long_form(groups: dict[str, list[float]]) -> tuple[list[float], list[str]]:
    """Values and the treatment of each."""
    values = [float(value) for each in groups.values() for value in each]
    return values, [name for name, each in groups.items() for _ in each]
