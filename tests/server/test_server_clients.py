"""A short run of `python -m tests.clients`; the long one is run by hand (DEVELOPERS.md)."""

from __future__ import annotations

from pathlib import Path

import pytest

import clients
from bayround.records import write_visit


def test_nothing_is_lost_between_several_people_while_the_server_restarts(tmp_path: Path) -> None:
    farm = clients.make_farm(tmp_path)
    outcome = clients.run(farm, clients=4, seconds=2.0, restarts=1)
    assert clients.judge(farm, outcome) == []
    assert outcome.reads > 4
    assert outcome.written


def test_the_run_finds_lost_updates_where_nobody_looks_at_what_was_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(write_visit, "refuse_overtaken", lambda *_given: None)
    monkeypatch.setattr(clients, "PLANTS", 1)
    monkeypatch.setattr(clients, "FIELDS", ("height_cm",))
    farm = clients.make_farm(tmp_path)
    runs = (clients.run(farm, clients=4, seconds=0.7, restarts=0) for _run in range(6))
    assert any("lost update" in line for outcome in runs for line in clients.judge(farm, outcome))


@pytest.mark.parametrize(
    ("edges", "stands", "found"),
    [
        ([(None, 1.0, True), (1.0, 2.0, True)], 2.0, ""),
        ([(None, 1.0, True), (1.0, 2.0, False)], 2.0, ""),
        ([(None, 1.0, True), (1.0, 2.0, False)], 1.0, ""),
        ([(None, 1.0, True), (1.0, 2.0, True)], 1.0, "stands"),
        ([(None, 1.0, True), (None, 2.0, True)], 2.0, "lost update"),
        ([(None, 1.0, True), (7.0, 8.0, True)], 1.0, "nowhere"),
    ],
)
def test_a_line_of_numbers_is_whole_or_says_what_breaks_it(
    edges: list[tuple[float | None, float, bool]], stands: float, found: str
) -> None:
    lines = clients.line_of(edges, stands, "cell")
    assert (found in lines[0]) if found else lines == []
