"""Small files, small functions, and no drawer for everything."""

from __future__ import annotations

import ast
import io
import tokenize
from pathlib import Path

import pytest
from house_files import name_of, python_files

LONGEST_FILE = 300
LONGEST_TEST_FILE = 500
LONGEST_FUNCTION = 40
DRAWERS = {"utils.py", "util.py", "widgets.py", "helpers.py", "misc.py", "common.py", "tools.py"}

EXCEPTIONS: dict[str, str] = {}
"""A file, or ``file::function``, that may be longer, and the reason. One that is no longer needed must go."""

NOT_CODE = {
    tokenize.NL,
    tokenize.NEWLINE,
    tokenize.INDENT,
    tokenize.DEDENT,
    tokenize.COMMENT,
    tokenize.ENDMARKER,
}


def too_long_files(files: list[Path]) -> dict[str, int]:
    """Return the files beyond their limit, with their number of lines."""
    found = {}
    for file in files:
        lines = len(file.read_text(encoding="utf-8").splitlines())
        if lines > (LONGEST_TEST_FILE if "tests" in file.parts else LONGEST_FILE):
            found[name_of(file)] = lines
    return found


def too_long_functions(name: str, source: str) -> dict[str, int]:
    """Return the functions with too many lines of code; blank lines, comments and the docstring don't count."""
    found = {}
    code: set[int] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = set(range(node.lineno, (node.end_lineno or node.lineno) + 1)) - docstring_lines(node)
            if len(lines) <= LONGEST_FUNCTION:
                continue
            code = code or code_lines(source)
            if len(lines & code) > LONGEST_FUNCTION:
                found[f"{name}::{node.name}"] = len(lines & code)
    return found


def code_lines(source: str) -> set[int]:
    """Return the lines on which something stands that Python reads."""
    return {
        line
        for token in tokenize.generate_tokens(io.StringIO(source).readline)
        if token.type not in NOT_CODE
        for line in range(token.start[0], token.end[0] + 1)
    }


def docstring_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> set[int]:
    """Return the lines of a function's docstring."""
    if ast.get_docstring(node) is None:
        return set()
    text = node.body[0]
    return set(range(text.lineno, (text.end_lineno or text.lineno) + 1))


@pytest.fixture(scope="module")
def offenders() -> dict[str, int]:
    files = python_files()
    found = too_long_files(files)
    for file in files:
        found |= too_long_functions(name_of(file), file.read_text(encoding="utf-8"))
    return found


def test_files_and_functions_stay_small(offenders):
    unexcused = [f"{name}: {lines} lines" for name, lines in offenders.items() if name not in EXCEPTIONS]
    assert unexcused == [], "\n".join(unexcused)


def test_every_exception_is_needed_and_has_a_reason(offenders):
    assert set(EXCEPTIONS) <= set(offenders)
    assert all(len(reason.split()) >= 3 for reason in EXCEPTIONS.values())


def test_there_is_no_drawer_for_everything():
    assert [name_of(file) for file in python_files() if file.name in DRAWERS] == []


def test_a_function_that_grew_is_seen():
    body = "\n".join(f"    step_{number} = {number}\n    # a remark\n" for number in range(LONGEST_FUNCTION))
    text = '    """Words.\n\n    More words.\n    """\n'
    assert too_long_functions("x.py", f"def grown():\n{text}{body}") == {"x.py::grown": LONGEST_FUNCTION + 1}
    shorter = body.replace("    step_0 = 0\n", "")
    assert too_long_functions("x.py", f"def fits():\n{text}{shorter}") == {}
