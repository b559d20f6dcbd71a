"""Fruit load and set: the estimators against published survey and paired-data values."""

import pytest

from bayround.agronomy.fruit import PlantCount, fruit_load, fruit_set_since


def counts_of(fruit: list[float], stems: list[float] | float = 2) -> list[PlantCount]:
    per_plant = [float(stems)] * len(fruit) if isinstance(stems, int | float) else stems
    return [PlantCount(f"p{n}", f, s) for n, (f, s) in enumerate(zip(fruit, per_plant, strict=True))]


def test_mean_with_finite_population() -> None:
    """ȳ ± t s/√n √(1 - n/N) made example worked out with scipy: 12 15 9 14 11 10 13 16 of N 40: 12.5 (10.66836993, 14.33163007)."""
    load = fruit_load(counts_of([12, 15, 9, 14, 11, 10, 13, 16]), plants_standing=40, area_m2=16)
    plant = load.per_plant
    assert (plant.value, plant.low, plant.high) == pytest.approx((12.5, 10.66836993, 14.33163007), abs=5e-9)
    assert plant.standard_error == pytest.approx(0.7745966692, abs=1e-10)
    assert load.per_m2.value == 12.5 * 40 / 16
    assert load.per_m2.high == pytest.approx(14.33163007 * 2.5, abs=1e-7)
    assert load.in_planting.low == pytest.approx(10.66836993 * 40, abs=1e-6)
    assert (load.per_stem.value, load.per_stem.low) == pytest.approx((6.25, 10.66836993 / 2), abs=5e-9)


def test_forgetting_the_finite_population_would_not_pass() -> None:
    """Without the correction the interval is (10.45217533, 14.54782467)."""
    load = fruit_load(counts_of([12, 15, 9, 14, 11, 10, 13, 16]), plants_standing=40, area_m2=16)
    assert load.per_plant.low is not None
    assert load.per_plant.low > 10.6 > 10.45217533
    many = fruit_load(counts_of([12, 15, 9, 14, 11, 10, 13, 16]), plants_standing=10**9, area_m2=16)
    assert many.per_plant.low == pytest.approx(10.45217533, abs=1e-7)


# R survey, apiclus1 (15 of 757 school districts): enrolment, pupils tested.
ENROLLED = [6777, 15038, 1668, 6958, 9025, 683, 274, 1436, 7375, 14968, 2180, 6081, 25814, 680, 1641]
TESTED = [6047, 12618, 1461, 5935, 7573, 610, 199, 1184, 6431, 12292, 1877, 4895, 22452, 532, 1373]


def test_load_per_stem_is_the_ratio_estimator() -> None:
    """R survey svyratio on apiclus1: .8497087417, SE .0083862972, as if fruit were pupils tested and stems enrolled."""
    counts = counts_of([float(f) for f in TESTED], [float(s) for s in ENROLLED])
    load = fruit_load(counts, plants_standing=757, area_m2=100)
    assert load.per_stem.value == pytest.approx(0.8497087417, abs=1e-10)
    assert load.per_stem.standard_error == pytest.approx(0.0083862972, abs=1e-10)


def test_mean_of_single_ratios_would_not_pass() -> None:
    """Averaging fruit per stem plant by plant, where stems differ, gives another number."""
    naive = sum(t / e for t, e in zip(TESTED, ENROLLED, strict=True)) / len(TESTED)
    counts = counts_of([float(f) for f in TESTED], [float(s) for s in ENROLLED])
    assert abs(naive - fruit_load(counts, plants_standing=757, area_m2=100).per_stem.value) > 0.005


def test_marked_stems_only() -> None:
    """By hand: 6, 8, 10 fruit on one stem each, 2.5 stems a plant, 900 plants on 400 m²: 8, 20 and 45."""
    load = fruit_load(counts_of([6, 8, 10], 1), plants_standing=900, area_m2=400, stems_per_plant=2.5)
    assert (load.per_stem.value, load.per_plant.value, load.per_m2.value) == (8, 20, 45)
    assert load.in_planting.value == 18_000


def test_whole_count_has_no_error_and_one_plant_no_interval() -> None:
    all_of_them = fruit_load(counts_of([3, 5, 7]), plants_standing=3, area_m2=1)
    assert (all_of_them.per_plant.low, all_of_them.per_plant.high) == (5, 5)
    one = fruit_load(counts_of([6]), plants_standing=30, area_m2=10)
    assert (one.per_plant.value, one.per_stem.value, one.per_m2.value) == (6, 3, 18)
    assert (one.per_plant.low, one.per_stem.high, one.per_m2.standard_error) == (None, None, None)


def test_load_is_never_below_nothing() -> None:
    load = fruit_load(counts_of([0, 0, 9]), plants_standing=900, area_m2=400)
    assert load.per_plant.low == load.per_stem.low == load.per_m2.low == 0


# Student's sleep data (Student 1908, Biometrika 6:1-25; R datasets sleep), ten added so that no count is below 0.
BEFORE = [10.7, 8.4, 9.8, 8.8, 9.9, 13.4, 13.7, 10.8, 10.0, 12.0]
NOW = [11.9, 10.8, 11.1, 10.1, 9.9, 14.4, 15.5, 11.6, 14.6, 13.4]


def visit(values: list[float]) -> dict[str, float]:
    return {f"p{place}": value for place, value in enumerate(values)}


def test_set_is_paired() -> None:
    """Student's sleep data: mean 1.58, paired interval (.7001142367, 2.4598857633); endless plants, so no correction."""
    found = fruit_set_since(visit(BEFORE), visit(NOW), days=7, plants_standing=10**12)
    assert found is not None
    per_plant = found.per_plant
    assert per_plant.value == pytest.approx(1.58, abs=1e-12)
    assert (per_plant.low, per_plant.high) == pytest.approx((0.7001142367, 2.4598857633), abs=1e-8)


def test_unpaired_would_not_pass() -> None:
    """The same readings as two separate samples reach below zero: the pairing is the result."""
    from scipy.stats import ttest_ind

    apart = ttest_ind(NOW, BEFORE).confidence_interval(0.95)
    found = fruit_set_since(visit(BEFORE), visit(NOW), days=7, plants_standing=10**12)
    assert found is not None
    assert found.per_plant.low is not None
    assert apart.low < 0 < found.per_plant.low


def test_picked_and_taken_off_count_as_set() -> None:
    """By hand: 10 -> 9 with 3 picked and 1 taken off is 3 set; over 14 days that is 1.5 a week."""
    found = fruit_set_since(
        {"a": 10, "b": 8, "gone": 4},
        {"a": 9, "b": 9, "new": 2},
        days=14,
        plants_standing=100,
        picked={"a": 3, "b": 2},
        taken_off={"a": 1},
    )
    assert found is not None
    assert (found.per_plant.value, found.per_plant_week.value) == (3, 1.5)
    assert found.plants_left_out == ("gone", "new")
    assert found.plants_with_loss == ()


def test_unexplained_loss_is_named_and_not_hidden() -> None:
    found = fruit_set_since({"a": 10, "b": 5}, {"a": 7, "b": 6}, days=7, plants_standing=100)
    assert found is not None
    assert found.plants_with_loss == ("a",)
    assert found.per_plant.value == -1


def test_no_plant_counted_twice() -> None:
    assert fruit_set_since({"a": 1}, {"b": 1}, days=7, plants_standing=10) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: fruit_load([], plants_standing=10, area_m2=1),
        lambda: fruit_load(counts_of([1, 2, 3]), plants_standing=2, area_m2=1),
        lambda: fruit_load(counts_of([-1, 2]), plants_standing=10, area_m2=1),
        lambda: fruit_load(counts_of([1, 2], 0), plants_standing=10, area_m2=1),
        lambda: fruit_load(counts_of([1, 2]), plants_standing=10, area_m2=0),
        lambda: fruit_load([PlantCount("a", 1, 1)] * 2, plants_standing=10, area_m2=1),
        lambda: fruit_load(counts_of([1, 2]), plants_standing=10, area_m2=1, stems_per_plant=0),
        lambda: fruit_set_since({"a": 1}, {"a": 1}, days=0, plants_standing=5),
        lambda: fruit_set_since({"a": -1}, {"a": 1}, days=7, plants_standing=5),
    ],
)
def test_impossible_input_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
