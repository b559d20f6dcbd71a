"""How many typing slips are doubted on the sample farm, and how many clean values: `python -m tests.slips`.

Every finished visit of the invented season is keyed in again with one slip of each kind, a cell (or a row)
drawn with a fixed seed, and the program is asked what it doubts. A slip counts as flagged when the program
doubts the very cell (for a row skipped or keyed twice: that row or one after it). False alarms are doubts
about the visit as it was really keyed in, over all values of it.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from bayround.actions import sample
from bayround.crops import load_crops
from bayround.crops.profile import CropProfile, ReadingField
from bayround.facts.bay_past import BayPast, VisitRecord, gather
from bayround.facts.farm import MarkedPlant
from bayround.facts.rounds import PlantState, Reading
from bayround.figures import doubts

LAST_DAY = date(2026, 11, 20)
SEED = 20261125


@dataclass(frozen=True)
class Keyed:
    """One visit as keyed in, with what was known before it."""

    past: BayPast
    record: VisitRecord
    profile: CropProfile

    @property
    def plants(self) -> list[MarkedPlant]:
        """The plants read at this visit, in walking order."""
        standing = self.past.plants_on(self.record.day)
        return [plant for plant in standing if plant.id in self.record.readings]

    def doubted(self, readings: dict[str, Reading]) -> list[tuple[str, str]]:
        """Return (plant, field) of what is doubted when these readings are keyed in."""
        record = replace(self.record, readings=readings)
        found = doubts.of_visit(self.past, record, self.profile)
        return [(doubt.marked_plant_id, doubt.field) for doubt in found]


def ten_times(text: str, _at: int) -> str:
    """A nought too many, or the decimal point one place right."""
    whole, _, part = text.partition(".")
    return f"{whole}{part[0]}.{part[1:] or '0'}" if part else text + "0"


def tenth(text: str, _at: int) -> str:
    """The decimal point one place left; of a whole number the last digit is lost."""
    whole, _, part = text.partition(".")
    return f"{whole[:-1] or '0'}.{whole[-1]}" if part else text[:-1]


def of_digits(change: Callable[[str, int], str]) -> Callable[[str, int], str]:
    """A slip at one digit, counted from the left; the decimal point stays where it is from the right."""

    def slip(text: str, at: int) -> str:
        places = len(text.partition(".")[2])
        digits = change(text.replace(".", ""), at)
        if not places or not digits:
            return digits
        digits = digits.rjust(places + 1, "0")
        return f"{digits[:-places]}.{digits[-places:]}"

    return slip


def swap(digits: str, at: int) -> str:
    """Two neighbouring digits change places."""
    return digits if at == 0 else digits[: at - 1] + digits[at] + digits[at - 1] + digits[at + 1 :]


DIGIT_SLIPS: dict[str, Callable[[str, int], str]] = {
    "ten times": ten_times,
    "a tenth": tenth,
    "digit left out": of_digits(lambda digits, at: digits[:at] + digits[at + 1 :]),
    "digit typed twice": of_digits(lambda digits, at: digits[: at + 1] + digits[at:]),
    "digits swapped": of_digits(swap),
}


def slipped_value(value: float, kind: str, decimals: int, draw: random.Random) -> float | None:
    """Return the value with one slip; nothing when the slip leaves nothing or changes nothing."""
    text = f"{value:.{decimals}f}"
    slipped = DIGIT_SLIPS[kind](text, draw.randrange(len(text.replace(".", ""))))
    return None if slipped in {"", "."} or float(slipped) == value else float(slipped)


def sample_visits(every: int = 1) -> list[Keyed]:
    """Return the finished visits of the sample farm, or every so-manieth of them."""
    crops, found = load_crops(), []
    for past in gather(sample.season_facts(), LAST_DAY):
        assert past.planting is not None
        profile = crops.profile(past.planting.crop)
        for place, record in enumerate(past.visits):
            found.append(Keyed(replace(past, visits=past.visits[:place]), record, profile))
    return found[::every]


def cells_of(keyed: Keyed) -> list[tuple[str, ReadingField, float]]:
    """Return every (plant, field, value) keyed in at a visit."""
    return [
        (plant.id, field, value)
        for plant in keyed.plants
        for field in keyed.profile.fields
        if keyed.record.readings[plant.id].state is PlantState.STANDING
        and (value := keyed.record.readings[plant.id].value(field.key)) is not None
    ]


def with_value(keyed: Keyed, plant_id: str, field: str, value: float) -> dict[str, Reading]:
    """Return the readings of a visit with one value changed."""
    readings = dict(keyed.record.readings)
    readings[plant_id] = replace(readings[plant_id], **{field: value})
    return readings


def with_rows_off(keyed: Keyed, at: int, kind: str) -> dict[str, Reading]:
    """Return the readings with row *at* skipped (later rows one plant up) or keyed twice (one plant down)."""
    plants, readings = keyed.plants, dict(keyed.record.readings)
    fields = [field.key for field in keyed.profile.fields]
    for place in range(at, len(plants)):
        source = place + 1 if kind == "row skipped" else place - 1
        if source >= len(plants):
            del readings[plants[place].id]
            continue
        if kind == "row keyed twice" and place == at:
            continue
        taken = keyed.record.readings[plants[source].id]
        values = {field: taken.value(field) for field in fields}
        readings[plants[place].id] = replace(readings[plants[place].id], **values)
    return readings


Tally = Counter[tuple[str, str]]


def measure(visits: Sequence[Keyed], seed: int = SEED) -> tuple[Tally, Tally]:
    """Return (how many seeded, how many flagged), each by kind of slip and crop; clean values as kind “clean”."""
    draw, seeded, flagged = random.Random(seed), Tally(), Tally()
    for keyed in visits:
        crop, cells = keyed.profile.name, cells_of(keyed)
        seeded["clean", crop] += len(cells)
        flagged["clean", crop] += len(keyed.doubted(dict(keyed.record.readings)))
        for kind in DIGIT_SLIPS:
            for wanted in ("cm", ""):
                of_kind = [cell for cell in cells if (cell[1].unit == "cm") == bool(wanted)]
                plant_id, field, value = draw.choice(of_kind)
                slipped = slipped_value(value, kind, field.decimals, draw)
                if slipped is None or not field.hard_low <= slipped <= field.hard_high:
                    continue  # nothing changed, or it can't be keyed in at all
                seeded[kind, crop] += 1
                found = keyed.doubted(with_value(keyed, plant_id, field.key, slipped))
                flagged[kind, crop] += (plant_id, field.key) in found
        _measure_rows(keyed, draw, seeded, flagged)
    return seeded, flagged


def _measure_rows(keyed: Keyed, draw: random.Random, seeded: Tally, flagged: Tally) -> None:
    plants = keyed.plants
    for kind in ("row skipped", "row keyed twice"):
        at = draw.randrange(0, len(plants) - 1)
        readings = with_rows_off(keyed, at, kind)
        if readings == keyed.record.readings:
            continue
        after = {plant.id for plant in plants[at:]}
        seeded[kind, keyed.profile.name] += 1
        flagged[kind, keyed.profile.name] += any(plant in after for plant, _f in keyed.doubted(readings))


def share(seeded: Tally, flagged: Tally, *kinds: str) -> float:
    """Return the share flagged of some kinds of slip, all crops together."""
    keys = [key for key in seeded if key[0] in kinds]
    return sum(flagged[key] for key in keys) / sum(seeded[key] for key in keys)


KINDS = (*DIGIT_SLIPS, "row skipped", "row keyed twice")


def table(seeded: Tally, flagged: Tally) -> str:
    """Return the table as text."""
    lines = [f"{'kind of slip':<20}{'seeded':>8}{'flagged':>10}"]
    for kind in KINDS:
        count = sum(number for key, number in seeded.items() if key[0] == kind)
        lines.append(f"{kind:<20}{count:>8}{share(seeded, flagged, kind):>10.1%}")
    every = sum(number for key, number in seeded.items() if key[0] != "clean")
    lines.append(f"{'all slips':<20}{every:>8}{share(seeded, flagged, *KINDS):>10.1%}")
    lines.append("")
    lines.append(f"{'clean values of':<20}{'keyed in':>8}{'doubted':>10}")
    for kind, crop in sorted(key for key in seeded if key[0] == "clean"):
        alarms = flagged[kind, crop] / seeded[kind, crop]
        lines.append(f"{crop:<20}{seeded[kind, crop]:>8}{alarms:>10.2%}")
    clean = sum(number for key, number in seeded.items() if key[0] == "clean")
    lines.append(f"{'all crops':<20}{clean:>8}{share(seeded, flagged, 'clean'):>10.2%}")
    return "\n".join(lines)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.slips", description=__doc__)
    parser.add_argument("--every", type=int, default=1, help="take only every so-manieth visit (1: all)")
    parser.add_argument("--seed", type=int, default=SEED, help="seed of the draw")
    chosen = parser.parse_args()
    print(table(*measure(sample_visits(chosen.every), chosen.seed)))


if __name__ == "__main__":
    main()
