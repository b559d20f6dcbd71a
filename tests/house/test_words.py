"""Words that must not stand anywhere: paths of one machine, and where the plans of the house were kept."""

from __future__ import annotations

import re
from pathlib import Path

from house_files import name_of, text_files

ONE_MACHINE = re.compile(
    r"(?<![\w.])/(?:work|home|root|Users|opt|mnt|tmp|srv)/\w|\b[A-Z]:\\\\?(?:Users|work|home)", re.ASCII
)
FORBIDDEN = re.compile(
    r"\bseed"
    r" document|\bshared/"
    r"(?:references|design)|\breferences/"
    r"\w|/bv/"
    r"bin|\bdesign"
    r"\.md\b",
    re.IGNORECASE,
)
"""Written in pieces, so that this file does not hold what it looks for."""


def found_in(pattern: re.Pattern[str], files: list[Path]) -> list[str]:
    """Return every line in which *pattern* stands, as ``file:line: text``."""
    found = []
    for file in files:
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
            if match := pattern.search(line):
                found.append(f"{name_of(file)}:{number}: {match[0]}")
    return found


def test_there_are_files_to_look_at():
    names = {name_of(file) for file in text_files()}
    assert {"README.md", "DEVELOPERS.md", "pyproject.toml", ".ci/run", "desktop/begin.py"} <= names
    assert len(names) > 200


def test_no_path_of_one_machine():
    assert found_in(ONE_MACHINE, text_files()) == []


def test_no_forbidden_words():
    assert found_in(FORBIDDEN, text_files()) == []


def test_the_patterns_find_what_they_look_for():
    path = "/" + "work/main/desktop"
    assert ONE_MACHINE.search(f'open("{path}")')
    assert ONE_MACHINE.search(r"C:" + r"\Users\somebody")
    assert not ONE_MACHINE.search("tomatoes/home/grown and https://example.org/home/page")
    assert FORBIDDEN.search("as the Seed" + " document says")
    assert FORBIDDEN.search("see references" + "/agronomy")
    assert not FORBIDDEN.search("seeding weeds; seed count; the references of the source")
