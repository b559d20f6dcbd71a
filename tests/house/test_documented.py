"""Every package and module stands in DEVELOPERS.md, every command and option has help and stands in README.md."""

from __future__ import annotations

import argparse
import re
import tomllib
from pathlib import Path

import pytest

import bayround
from bayround.cli import command_line
from bayround.cli.faces import Faces

QUESTIONS = ("computed", "shown", "stored", "done", "number")


@pytest.fixture(scope="module")
def developers(checkout: Path) -> str:
    return (checkout / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def readme(checkout: Path) -> str:
    return (checkout / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def commands() -> dict[str, argparse.ArgumentParser]:
    parser = command_line.build_parser(Faces(lambda _: 0, lambda *_: ()))
    (found,) = (action for action in parser._actions if isinstance(action, argparse._SubParsersAction))
    assert {choice.dest for choice in found._choices_actions if choice.help} == set(found.choices)
    return dict(found.choices)


def line_about(text: str, name: str) -> str:
    """Return what a list or a table says about *name*, or nothing."""
    found = re.search(rf"^(?:- |\| )`{re.escape(name)}`[^\w\n]*(.+)$", text, re.MULTILINE)
    return found[1] if found else ""


def test_every_package_has_a_line(checkout, developers):
    house = checkout / "desktop" / "bayround"
    packages = [f"{found.parent.relative_to(house).as_posix()}/" for found in house.rglob("*/__init__.py")]
    assert len(packages) > 10
    assert [name for name in sorted(packages) if not line_about(developers, name)] == []


def test_every_module_at_the_top_has_a_line(checkout, developers):
    modules = [found.name for found in (checkout / "desktop").glob("*.py")]
    modules += [found.name for found in (checkout / "desktop" / "bayround").glob("*.py")]
    modules.remove("__init__.py")
    assert [name for name in sorted(modules) if not line_about(developers, name)] == []


def test_no_line_is_about_a_package_that_is_gone(checkout, developers):
    house = checkout / "desktop" / "bayround"
    named = re.findall(r"^\| `([a-z_/]+)/` \|", developers, re.MULTILINE)
    assert named
    assert [name for name in named if not (house / name).is_dir() and not (checkout / name).is_dir()] == []


def test_every_dependency_has_its_reason(checkout, developers):
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    names = [re.split(r"[<>=;~! \[]", entry, maxsplit=1)[0] for entry in wanted]
    assert [name for name in names if not line_about(developers, name)] == []


def test_the_version_is_the_same_in_both_places(checkout):
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == bayround.__version__


def test_the_five_questions_stand_at_the_top(developers):
    top = "\n".join(developers.splitlines()[:25])
    assert [word for word in QUESTIONS if f"**{word}**" not in top] == []


def test_every_command_explains_itself(commands):
    assert set(commands) >= {"open", "sample", "week", "jobs", "check"}
    for name, parser in commands.items():
        assert parser.description, name
        for action in parser._actions:
            assert action.help, f"{name} {action.dest}"


def test_every_command_and_option_stands_in_the_readme(commands, readme):
    for name, parser in commands.items():
        assert f"bayround {name}" in readme
        for action in parser._actions:
            for option in action.option_strings:
                assert option in {"-h", "--help"} or f"`{option}" in readme, f"{name} {option}"


def test_every_exit_code_stands_in_the_readme(readme):
    from bayround.cli import guard

    codes = {value for name, value in vars(guard).items() if name.isupper() and isinstance(value, int)}
    assert len(codes) >= 5
    assert [code for code in sorted(codes) if not line_about(readme, str(code))] == []


def test_every_picture_in_the_readme_is_there(checkout, readme):
    named = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", readme)
    assert [name for name in named if not (checkout / name).is_file()] == []
