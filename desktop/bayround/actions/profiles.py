"""The numbers behind everything: see where each comes from, replace one for this farm, put it back."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime

from bayround.actions.farm import OpenFarm, crops_of
from bayround.crops import apply_overrides, load_crops
from bayround.facts.bay_past import gather
from bayround.facts.ids import new_id
from bayround.facts.problems import Refused
from bayround.facts.work import ProfileOverride
from bayround.figures import band_proposal, own_scatter, plan_cost
from bayround.figures.band_proposal import BandRow
from bayround.figures.own_scatter import SOURCE as SCATTER_SOURCE
from bayround.figures.own_scatter import OwnScatter
from bayround.figures.plan_cost import PlanView, sentences, table_lines
from bayround.records import read_parts, read_season, write_setup
from bayround.words import _

__all__ = [
    "SCATTER_SOURCE",
    "BandRow",
    "Change",
    "CropNumbers",
    "NumberLine",
    "OwnScatter",
    "PlanView",
    "back_to_file",
    "band_line",
    "crops",
    "override",
    "read",
    "sentences",
    "table_lines",
    "take_proposal",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a number by this farm: the value, when, by whom, why."""

    value: float
    changed_at: datetime
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class NumberLine:
    """One number of a crop: *file_value* is that of the crop file, *is_own* says that the farm replaced it."""

    name: str
    label: str
    value: float
    unit: str
    basis: str
    source: str
    note: str
    file_value: float
    changes: tuple[Change, ...] = ()

    @property
    def is_own(self) -> bool:
        """Whether this farm's own value holds."""
        return self.basis == "farm"


@dataclass(frozen=True, slots=True)
class CropNumbers:
    """All that the profile screen shows of one crop."""

    crop: str
    crop_name: str
    numbers: tuple[NumberLine, ...]
    band: tuple[BandRow, ...]
    band_changes: tuple[tuple[str, Change], ...]
    plans: tuple[PlanView, ...]
    scatter: tuple[OwnScatter, ...] = ()


def crops(farm: OpenFarm) -> tuple[tuple[str, str], ...]:
    """Return (key, name) of the crops, the one this farm has most plantings of first."""
    planted = Counter(planting.crop for planting in read_parts.read_setup(farm.store).plantings)
    keys = sorted(farm.crops.profiles, key=lambda key: (-planted[key], key))
    return tuple((key, _(farm.crops.profile(key).name)) for key in keys)


def read(farm: OpenFarm, crop: str, today: date) -> CropNumbers:
    """Return a crop's numbers with their sources and changes, its band with the proposal, its stop plans."""
    profile = farm.crops.profile(crop)
    changes = _changes(farm, crop)
    numbers = tuple(
        NumberLine(
            name=number.name,
            label=_(number.label),
            value=number.value,
            unit=number.unit,
            basis=number.basis,
            source=number.source,
            note=number.note,
            file_value=number.value if number.original is None else number.original,
            changes=tuple(changes.get(number.name, ())),
        )
        for number in profile.numbers.values()
    )
    band_changes = tuple(
        (name, change) for name, made in changes.items() if name.startswith("load_band.") for change in made
    )
    organisms = tuple(farm.crops.organism(key) for key in profile.organisms)
    pasts = gather(read_season.read_season(farm.store), today)
    return CropNumbers(
        crop=crop,
        crop_name=_(profile.name),
        numbers=numbers,
        band=band_proposal.rows(profile, pasts),
        band_changes=band_changes,
        plans=plan_cost.views(organisms, crop),
        scatter=own_scatter.views(organisms, profile, pasts),
    )


def override(
    farm: OpenFarm, crop: str, name: str, value: float, person_id: str | None, now: datetime, reason: str
) -> None:
    """Put the farm's own value in place of the crop file's; kept with who, when and why.

    Raises:
        Refused: without a reason, for an impossible value, or one that contradicts the crop's other numbers.
    """
    if not reason.strip():
        raise Refused(
            _("A number of the farm's own needs a reason."),
            kept=_("The number is as it was."),
            to_do=_("Write where it comes from, so that somebody can judge it next year."),
        )
    _write(farm, [(crop, name, value)], person_id, now, reason.strip())


def back_to_file(farm: OpenFarm, crop: str, name: str, person_id: str | None, now: datetime) -> None:
    """Let the crop file's value hold again; the farm's earlier values stay in the history.

    Raises:
        Refused: when the file's value contradicts another number this farm changed.
    """
    value = _file_value(crop, name)
    _write(farm, [(crop, name, value)], person_id, now, _("back to the crop file's value"))


def take_proposal(
    farm: OpenFarm, crop: str, rows: tuple[BandRow, ...], person_id: str | None, now: datetime
) -> int:
    """Take the proposed band over for every row that has a proposal; return how many rows.

    Raises:
        Refused: when the rows taken over contradict each other.
    """
    taken: list[tuple[str, str, float]] = []
    for row in rows:
        if row.proposed_low is not None and row.proposed_high is not None:
            taken.append((crop, row.low_name, round(row.proposed_low, 1)))
            taken.append((crop, row.high_name, round(row.proposed_high, 1)))
    if not taken:
        return 0
    _write(farm, taken, person_id, now, _("proposed from the farm's own past weeks"))
    return len(taken) // 2


def _write(
    farm: OpenFarm, values: list[tuple[str, str, float]], person_id: str | None, now: datetime, reason: str
) -> None:
    known = [(one.crop, one.name, one.value) for one in read_parts.read_overrides(farm.store)]
    try:
        apply_overrides(load_crops(), [*known, *values])
    except (ValueError, KeyError) as error:
        said = str(error.args[0]).rstrip(".") + "."
        raise Refused(said, kept=_("The number is as it was.")) from error
    changes = [
        ProfileOverride(new_id(), crop, name, value, person_id, now, reason) for crop, name, value in values
    ]
    write_setup.add(farm.store, *changes)
    farm.crops = crops_of(farm.store)


def _file_value(crop: str, name: str) -> float:
    profile = load_crops().profile(crop)
    if not name.startswith("load_band."):
        return profile.number(name).value
    weeks, side = name.removeprefix("load_band.").rsplit(".", 1)
    point = next(one for one in profile.load_band if one.weeks_after_transplanting == float(weeks))
    return point.low_per_m2 if side == "low_per_m2" else point.high_per_m2


def _changes(farm: OpenFarm, crop: str) -> dict[str, list[Change]]:
    """Return number → its changes by this farm, oldest first."""
    people = {person.id: person.name for person in read_parts.read_setup(farm.store).people}
    found: dict[str, list[Change]] = {}
    for one in read_parts.read_overrides(farm.store):
        if one.crop == crop:
            by = people.get(one.person_id or "", "")
            found.setdefault(one.name, []).append(Change(one.value, one.changed_at, by, one.reason))
    return found


def band_line(numbers: CropNumbers, row: BandRow, upper: bool) -> NumberLine:
    """Return one side of a row of the band in the shape of any other number."""
    name = row.high_name if upper else row.low_name
    file_value = row.file_high if upper else row.file_low
    value = row.high if upper else row.low
    side = _("at most") if upper else _("at least")
    return NumberLine(
        name=name,
        label=_("Fruit to carry in week {week}: {side}").format(week=f"{row.weeks:g}", side=side),
        value=value,
        unit=_("fruit/m²"),
        basis=row.basis,
        source=row.source,
        note="",
        file_value=value if file_value is None else file_value,
        changes=tuple(change for changed, change in numbers.band_changes if changed == name),
    )
