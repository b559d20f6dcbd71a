"""Fruit load, band and thinning whatever was counted."""

from hypothesis import given
from hypothesis import strategies as st

from bayround.agronomy.fruit import PlantCount, fruit_load
from bayround.agronomy.fruit_band import Band, LoadVerdict, fruit_to_take_off, judge_load

FRUIT = st.lists(st.integers(0, 40), min_size=2, max_size=25)


def named(fruit: list[int]) -> dict[str, float]:
    return {f"p{place}": float(each) for place, each in enumerate(fruit)}


@given(FRUIT, st.integers(1, 6), st.integers(0, 400))
def test_the_three_loads_are_one_load_in_three_units(fruit: list[int], stems: int, more: int) -> None:
    counts = [PlantCount(plant, each, stems) for plant, each in named(fruit).items()]
    standing = len(fruit) + more
    load = fruit_load(counts, plants_standing=standing, area_m2=50)
    assert abs(load.per_stem.value * stems - load.per_plant.value) < 1e-9
    assert abs(load.per_m2.value * 50 - load.in_planting.value) < 1e-6
    assert load.per_plant.low is not None
    assert load.per_plant.high is not None
    assert 0 <= load.per_plant.low <= load.per_plant.value <= load.per_plant.high


@given(FRUIT, st.integers(0, 20), st.integers(0, 20), st.integers(0, 500))
def test_thinning_brings_every_plant_into_the_band_and_no_lower(
    fruit: list[int], low: int, width: int, more: int
) -> None:
    plants, band = named(fruit), Band(float(low), float(low + width))
    told = fruit_to_take_off(plants, band, plants_standing=len(fruit) + more)
    off = {} if told is None else told.off_by_plant
    for plant, carried in plants.items():
        left = carried - off.get(plant, 0)
        assert left <= band.high
        assert left == carried or left >= band.low
    if told is not None:
        for estimate, least, most in (told.plants_in_planting, told.fruit_off_in_planting or (0, 0, 0)):
            assert least <= estimate <= most


@given(FRUIT, st.floats(0, 20), st.floats(0.1, 20))
def test_a_verdict_never_contradicts_the_interval(fruit: list[int], low: float, width: float) -> None:
    plants, band = named(fruit), Band(low, low + width)
    load = fruit_load(
        [PlantCount(plant, each, 1) for plant, each in plants.items()], plants_standing=1000, area_m2=1
    ).per_plant
    found = judge_load(load, band, plants, greatest_variation=0.4, most_outside_share=0.3)
    assert load.low is not None
    assert load.high is not None
    assert (found.verdict is LoadVerdict.OVERLOADED) is (load.low > band.high)
    assert (found.verdict is LoadVerdict.UNDERLOADED) is (load.high < band.low)
    if found.verdict is LoadVerdict.INSIDE:
        assert band.low <= load.low
        assert load.high <= band.high
    assert all(plants[plant] > band.high for plant in found.plants_above)
