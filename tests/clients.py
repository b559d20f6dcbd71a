"""`python -m tests.clients --clients 50 --seconds 120 --restarts 3`: many people on one farm on a real PostgreSQL.

Each client has a connection of its own and does what the window does: reads the visit, types a number over the
one it saw, corrects finished visits, enters picks, and tries again what a restart of the server cut off. Every
number written is one of a kind, so afterwards each cell's numbers must make one unbroken line from the first to the
one that stands: a number that two people went over, or that nobody went over and that is gone, is a lost update.
Exit code 1 when there was one, when anybody was shown a deadlock or a fault of the program, or when the farm
is not sound.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

if __name__ == "__main__":
    HERE = Path(__file__).resolve().parent
    sys.path[:0] = [str(HERE), str(HERE.parent / "desktop")]

import factory
import postgres
from bayround.facts.ids import new_id
from bayround.facts.problems import FarmFileProblem, Overtaken, Refused, TypedMeanwhile
from bayround.facts.rounds import Round, Visit
from bayround.facts.server_address import ServerAddress
from bayround.facts.typed import Typed
from bayround.facts.work import Pick
from bayround.records import corrections, write_visit, write_work
from bayround.records.check import check
from bayround.records.farm_file import create_farm
from bayround.records.moving import move
from bayround.records.read_season import read_season
from bayround.records.read_visit import read_visit
from bayround.records.server import ServerStore, open_server_farm
from bayround.records.write_setup import add

FIELDS = ("height_cm", "last_tie_cm", "flowers", "fruit_set")
PLANTS = 5
Cell = tuple[str, str, str]
"""Visit, marked plant or reading, field."""


@dataclass
class Outcome:
    """What the clients lived through."""

    written: dict[Cell, list[tuple[float | None, float, bool]]] = field(default_factory=dict)
    """Per cell: the number seen, the number written, and whether that was acknowledged for certain."""
    picks: set[str] = field(default_factory=set)
    corrections: int = 0
    reads: int = 0
    overtaken: int = 0
    shown: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    save_ms: list[float] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def wrote(self, cell: Cell, seen: float | None, value: float, certain: bool) -> None:
        with self.lock:
            self.written.setdefault(cell, []).append((seen, value, certain))


@dataclass
class Farm:
    """The farm that all work on, and the two visits they share: a draft and a finished one."""

    address: ServerAddress
    people: tuple[str, ...]
    planting_id: str
    bay_id: str
    draft: str
    done: str
    plants: tuple[str, ...]


def make_farm(folder: Path) -> Farm:
    """Put an invented farm on the server."""
    season = factory.season(factory.past())
    path = folder / "clients.bayround"
    people = [replace(season.people[0], id=new_id(), name=f"Person {number}") for number in range(8)]
    with create_farm(path, "Test farm") as store:
        facts = [getattr(season, name) for name in season.__dataclass_fields__ if name != "farm"]
        add(store, *(fact for group in facts for fact in group), *people)
        held = write_visit.start_round(store, Round(new_id(), date(2026, 12, 1), people[0].id))
        planting = season.plantings[0]
        draft = Visit(new_id(), held.id, planting.bay_id, planting.id, held.held_on, held.scout_id)
        write_visit.start_visit(store, draft)
    address = postgres.shared().new_database()
    with open_server_copy(path, address):
        pass
    plants = tuple(plant.id for plant in season.marked_plants[:PLANTS])
    names = tuple(person.id for person in people)
    return Farm(address, names, planting.id, planting.bay_id, draft.id, season.visits[0].id, plants)


def open_server_copy(path: Path, address: ServerAddress) -> ServerStore:
    """Move a farm file to the server and open it there."""
    from bayround.records.farm_file import open_farm

    with open_farm(path, read_only=True) as store:
        move(store, address)
    return open_server_farm(address)


class Client:
    """One person at a desk of their own."""

    def __init__(self, farm: Farm, number: int, outcome: Outcome, stop: threading.Event) -> None:
        self._farm, self._number, self._outcome, self._stop = farm, number, outcome, stop
        self._chance = random.Random(number)
        self._person = farm.people[number % len(farm.people)]
        self._typed = 0

    def run(self) -> None:
        """Work until it is time to stop; a fault of the program is kept for the report."""
        try:
            store = self._again(lambda: open_server_farm(self._farm.address))
            while not self._stop.is_set():
                what = self._chance.random()
                if what < 0.75:
                    self._type_a_cell(store)
                elif what < 0.9:
                    self._correct_a_cell(store)
                else:
                    self._enter_a_pick(store)
            store.close()
        except Exception as error:
            with self._outcome.lock:
                self._outcome.faults.append(f"client {self._number}: {error!r}")

    def _again(self, work: Callable[[], object]) -> ServerStore | object:
        """Try until it goes through, as the window does with what is typed."""
        while True:
            begun = time.perf_counter()
            try:
                found = work()
            except FarmFileProblem as problem:
                with self._outcome.lock:
                    self._outcome.shown[
                        problem.message.partition("“")[0] + problem.message.rpartition("”")[2]
                    ] += 1
                time.sleep(0.1 + 0.2 * self._chance.random())
                continue
            with self._outcome.lock:
                self._outcome.save_ms.append((time.perf_counter() - begun) * 1000)
            return found

    def _one_of_a_kind(self) -> float:
        self._typed += 1
        return float(self._number * 100_000 + self._typed)

    def _read(self, store: ServerStore, visit_id: str) -> dict[tuple[str, str], float | None]:
        seen = self._again(lambda: read_visit(store, visit_id))
        self._outcome.reads += 1
        return {
            (reading.id if visit_id == self._farm.done else reading.marked_plant_id, name): reading.value(
                name
            )
            for reading in seen.readings  # type: ignore[attr-defined]
            if reading.marked_plant_id in self._farm.plants
            for name in FIELDS
        }

    def _type_a_cell(self, store: ServerStore) -> None:
        place = (self._chance.choice(self._farm.plants), self._chance.choice(FIELDS))
        seen, value = self._read(store, self._farm.draft).get(place), self._one_of_a_kind()
        tries = 0

        def save() -> None:
            nonlocal tries
            tries += 1
            typed = Typed(self._person, datetime.now(UTC), {place: seen})
            write_visit.save_cell(store, self._farm.draft, *place, value, typed)

        while not self._stop.is_set():
            cell = (self._farm.draft, *place)
            try:
                self._again(save)
            except TypedMeanwhile as meanwhile:
                self._outcome.overtaken += 1
                if tries > 1:  # a try before may have been kept, and knowingly gone over since
                    self._outcome.wrote(cell, seen, value, certain=False)
                if self._chance.random() < 0.5:
                    return  # theirs stands
                seen = meanwhile.now  # type: ignore[assignment]
                value, tries = self._one_of_a_kind(), 0
                continue
            self._outcome.wrote(cell, seen, value, certain=True)
            return

    def _correct_a_cell(self, store: ServerStore) -> None:
        found = self._read(store, self._farm.done)
        (reading, name), seen = self._chance.choice(sorted(found.items(), key=str))
        value, tries = self._one_of_a_kind(), 0
        cell = (self._farm.done, reading, name)

        def save() -> None:
            nonlocal tries
            tries += 1
            corrections.correct(
                store, "reading", reading, name, value, self._person, datetime.now(UTC), "looked again", seen
            )

        try:
            self._again(save)
        except Overtaken:
            self._outcome.overtaken += 1
            if tries > 1:
                self._outcome.wrote(cell, seen, value, certain=False)
            return
        self._outcome.wrote(cell, seen, value, certain=True)

    def _enter_a_pick(self, store: ServerStore) -> None:
        pick = Pick(new_id(), self._farm.bay_id, self._farm.planting_id, date(2026, 12, 1), 4.0)

        def save() -> None:
            try:
                write_work.add_pick(store, pick)
            except Refused as refused:
                if "already" not in refused.message:  # the try before was kept after all
                    raise

        self._again(save)
        with self._outcome.lock:
            self._outcome.picks.add(pick.id)


def run(farm: Farm, clients: int, seconds: float, restarts: int) -> Outcome:
    """Let the clients work while the server is restarted, in turn stopped and crashed."""
    outcome, stop = Outcome(), threading.Event()
    threads = [
        threading.Thread(target=Client(farm, number + 1, outcome, stop).run) for number in range(clients)
    ]
    for thread in threads:
        thread.start()
    begun = time.monotonic()
    for number in range(restarts):
        time.sleep(max(0.0, begun + seconds * (number + 1) / (restarts + 1) - time.monotonic()))
        postgres.shared().down("immediate" if number % 2 else "fast")
        postgres.shared().up()
    time.sleep(max(0.0, begun + seconds - time.monotonic()))
    stop.set()
    for thread in threads:
        thread.join(timeout=120)
        if thread.is_alive():
            outcome.faults.append("a client hangs")
    return outcome


def judge(farm: Farm, outcome: Outcome) -> list[str]:
    """Return everything that went wrong, in words."""
    wrong = list(outcome.faults)
    with open_server_farm(farm.address) as store:
        season = read_season(store)
        wrong += [f"not sound: {finding}" for finding in check(store) if "can't be" not in finding]
    by_draft = {(r.visit_id, r.marked_plant_id): r for r in season.readings}
    by_id = {r.id: r for r in season.readings}
    for (visit_id, about, name), edges in outcome.written.items():
        reading = by_draft[visit_id, about] if visit_id == farm.draft else by_id[about]
        wrong += line_of(edges, reading.value(name), f"{about} {name}")
    if missing := outcome.picks - {pick.id for pick in season.picks}:
        wrong.append(f"{len(missing)} picks acknowledged and gone")
    done = sum(c for cell, edges in outcome.written.items() if cell[0] == farm.done for *_e, c in edges)
    kept = sum(1 for entry in season.corrections if entry.table_name == "reading")
    if kept < done:
        wrong.append(f"{done} corrections acknowledged, {kept} in the history")
    busy = [text for text in outcome.shown if "busy" in text or "deadlock" in text]
    return wrong + [f"shown to a person: {text}" for text in busy]


def line_of(edges: list[tuple[float | None, float, bool]], stands: float | None, where: str) -> list[str]:
    """Return what breaks the line of numbers of one cell; nothing when each was gone over once, knowingly."""
    out: dict[float | None, list[tuple[float, bool]]] = {}
    for seen, value, certain in edges:
        out.setdefault(seen, []).append((value, certain))
    written = {value for _seen, value, _certain in edges}
    starts = [seen for seen in out if seen not in written]
    if len(starts) > 1:
        return [f"{where}: {starts} were gone over, of which at most one stood first; the others are nowhere"]
    now, walked = (starts[0] if starts else None), 0
    while now in out:
        certain = [value for value, sure in out[now] if sure]
        if len(certain) > 1:
            return [
                f"{where}: {now} was gone over by {certain}, of which nobody saw the other: a lost update"
            ]
        maybe = [value for value, sure in out[now] if not sure and (value in out or value == stands)]
        if not certain and not maybe:
            break
        walked += len(certain)
        now = certain[0] if certain else maybe[0]
    if now != stands:
        return [f"{where}: {now} was acknowledged last, {stands} stands"]
    sure = sum(certain for _seen, _value, certain in edges)
    return [] if walked == sure else [f"{where}: {sure - walked} acknowledged numbers are nowhere"]


def report(farm: Farm, outcome: Outcome, clients: int, seconds: float, restarts: int) -> list[str]:
    """Print what came of it; return what went wrong."""
    wrong = judge(farm, outcome)
    saves = sum(certain for edges in outcome.written.values() for *_edge, certain in edges)
    times = sorted(outcome.save_ms)
    print(f"{clients} clients, {seconds:.0f} s, {restarts} restarts of the server")
    print(f"  cells saved {saves}, picks {len(outcome.picks)}, visits read {outcome.reads}: "
          f"{(saves + len(outcome.picks)) / seconds:.0f} saves/s, {outcome.reads / seconds:.0f} reads/s")  # fmt: skip
    if times:
        print(f"  a step took {statistics.median(times):.1f} ms (median), "
              f"{times[int(len(times) * 0.99)]:.0f} ms (99 %), {times[-1]:.0f} ms at most")  # fmt: skip
    print(f"  asked “whose value stands?” {outcome.overtaken} times")
    for text, times_shown in outcome.shown.most_common():
        print(f"  told, and tried again: {times_shown} × {text.strip()}")
    print(f"  wrong: {len(wrong)}" + "".join(f"\n    {line}" for line in wrong[:20]))
    return wrong


def main() -> int:
    """Run it and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.clients", description=__doc__)
    parser.add_argument("--clients", type=int, default=50, help="people at work at the same time")
    parser.add_argument("--seconds", type=float, default=120.0, help="how long")
    parser.add_argument("--restarts", type=int, default=3, help="how often the server is stopped or crashed")
    chosen = parser.parse_args()
    with TemporaryDirectory() as folder:
        farm = make_farm(Path(folder))
        outcome = run(farm, chosen.clients, chosen.seconds, chosen.restarts)
        return 1 if report(farm, outcome, chosen.clients, chosen.seconds, chosen.restarts) else 0


if __name__ == "__main__":
    raise SystemExit(main())
