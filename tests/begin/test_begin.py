"""The way in: what `begin.py` runs in which case. No environment is made and nothing is fetched here."""

from __future__ import annotations

import ast
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bayround import start

DESKTOP = Path(start.__file__).resolve().parent.parent
sys.path.insert(0, str(DESKTOP))

import begin_environment  # noqa: E402
import begin_steps  # noqa: E402
import begin_system  # noqa: E402

MODULES = ("begin.py", "begin_steps.py", "begin_environment.py", "begin_system.py")
ALL_LIBRARIES = {**begin_system.LIBRARIES, **begin_system.SCREEN_LIBRARIES}


@dataclass
class Computer:
    """A computer that only remembers what it was told to run."""

    ran: list[tuple[str, ...]] = field(default_factory=list)
    codes: dict[str, int] = field(default_factory=dict)
    data_dir: Path = Path()
    works: bool = True

    def run(self, command, *, folder=None, quiet=False):
        self.ran.append(tuple(command))
        text = " ".join(command)
        return next((code for part, code in self.codes.items() if part in text), 0)

    def ask(self, command):
        if "places.data_dir()" in command[-1]:
            return 0, f"{self.data_dir}\n"
        return (0 if self.works and Path(command[0]).exists() else 127), ""

    def names(self) -> list[str]:
        """The commands, each without its program (and without what comes before and after apt-get)."""
        shown = [" ".join(command) for command in self.ran]
        return [text.partition("Dpkg::Use-Pty=0 ")[2] or text.partition(" ")[2] for text in shown]


@pytest.fixture
def computer(monkeypatch, tmp_path):
    made = Computer(data_dir=tmp_path / "data")
    made.data_dir.mkdir()
    monkeypatch.setattr(begin_system, "run", made.run)
    monkeypatch.setattr(begin_system, "ask", made.ask)
    monkeypatch.setattr(begin_system, "missing_libraries", lambda wanted: {})
    monkeypatch.setattr(begin_system, "OFFICE", {})
    return made


@pytest.fixture
def checkout(tmp_path, monkeypatch):
    folder = tmp_path / "checkout"
    folder.mkdir()
    (folder / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    monkeypatch.setattr(begin_steps, "CHECKOUT", folder)
    return folder


@pytest.fixture
def venv(tmp_path):
    """A folder that looks like an environment."""
    folder = tmp_path / "environment"
    begin_environment.python_of(folder).parent.mkdir(parents=True)
    begin_environment.python_of(folder).touch()
    (folder / "pyvenv.cfg").touch()
    return folder


def begin(*words) -> int:
    return begin_steps.main([str(word) for word in words])


def test_needs_nothing_but_the_standard_library():
    allowed = sys.stdlib_module_names | {name.removesuffix(".py") for name in MODULES}
    for name in MODULES:
        tree = ast.parse((DESKTOP / name).read_text(encoding="utf-8"))
        imported = {
            alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names
        }
        imported |= {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        assert {module.split(".")[0] for module in imported} <= allowed, name


def test_an_old_python_can_read_the_first_file():
    ast.parse((DESKTOP / "begin.py").read_text(encoding="utf-8"), feature_version=(3, 4))


def test_an_old_python_is_told_so():
    code = (
        "import runpy, sys; sys.version_info = (3, 9, 2, 'final', 0);"
        f"sys.argv = ['desktop/begin.py', 'test']; runpy.run_path({str(DESKTOP / 'begin.py')!r}, run_name='__main__')"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert ended.returncode == 1
    assert ended.stderr.startswith(
        "Bayround needs Python 3.11 or newer; this is 3.9.2.\nNothing was changed.\n"
    )
    assert "Traceback" not in ended.stderr


def test_arguments_for_pytest_are_passed_on_in_order():
    choice = begin_steps.read(
        ["test", "-n", "2", "--venv", "here", "tests/facts", "-k", "week and not day", "-x"]
    )
    assert choice.test
    assert choice.venv == Path("here").absolute()
    assert choice.further == ("-n", "2", "tests/facts", "-k", "week and not day", "-x")


def test_an_argument_only_tests_take_is_refused_otherwise(capsys):
    with pytest.raises(SystemExit) as stop:
        begin_steps.read(["-x"])
    assert stop.value.code == 2
    assert "not known: -x" in capsys.readouterr().err


def test_the_first_run_installs_and_the_second_starts_at_once(computer, checkout, venv):
    assert begin("test", "--venv", venv, "-x") == 0
    install, tests = computer.names()
    assert install.startswith("-m pip install ")
    assert install.endswith(f"--editable {checkout}[test]")
    assert tests == "-m pytest -x"
    computer.ran.clear()
    assert begin("test", "--venv", venv) == 0
    assert computer.names() == ["-m pytest"]


def test_a_changed_list_of_parts_is_installed_again(computer, checkout, venv):
    begin("test", "--venv", venv)
    (checkout / "pyproject.toml").write_text("[project]\nname = 'other'\n", encoding="utf-8")
    computer.ran.clear()
    begin("test", "--venv", venv)
    assert len(computer.ran) == 2


def test_tests_after_opening_install_what_tests_need(computer, checkout, venv, monkeypatch):
    monkeypatch.setenv("DISPLAY", ":0")
    begin("--venv", venv)
    assert computer.names()[0].endswith(f"--editable {checkout}")
    computer.ran.clear()
    begin("test", "--venv", venv)
    assert computer.names()[0].endswith("[test]")
    computer.ran.clear()
    begin("--venv", venv)
    assert not any("pip" in name for name in computer.names())


def test_an_environment_whose_python_is_gone_is_made_anew(computer, checkout, venv):
    begin("test", "--venv", venv)
    computer.ran.clear()
    computer.works = False
    begin("test", "--venv", venv)
    assert computer.names()[0] == f"-m venv --clear {venv}"


def test_a_folder_of_something_else_is_left_alone(computer, checkout, tmp_path, capsys):
    folder = tmp_path / "letters"
    folder.mkdir()
    (folder / "letter.txt").touch()
    assert begin("test", "--venv", folder) == 1
    assert computer.ran == []
    assert "It was left as it is." in capsys.readouterr().err


def test_without_the_internet_it_says_what_to_do(computer, checkout, venv, capsys):
    computer.codes["-m pip install"] = 1
    assert begin("test", "--venv", venv) == 1
    said = capsys.readouterr().err
    assert "run the same line again" in said
    assert "HTTPS_PROXY" in said
    assert len(computer.ran) == 1
    computer.codes.clear()
    begin("test", "--venv", venv)  # nothing was noted as installed
    assert any("pip install" in name for name in computer.names()[1:])


def test_exit_codes_pass_through(computer, checkout, venv):
    computer.codes["-m pytest"] = 5
    assert begin("test", "--venv", venv) == 5


def test_with_a_screen_the_sample_farm_opens(computer, checkout, venv, monkeypatch):
    monkeypatch.setenv("DISPLAY", ":0")
    sample = computer.data_dir / "sample.bayround"
    computer.codes["-m bayround open"] = 7
    assert begin("--venv", venv) == 7
    assert computer.names()[1:] == [f"-m bayround sample --to {sample}", f"-m bayround open {sample}"]
    sample.touch()
    computer.ran.clear()
    begin("--venv", venv)
    assert computer.names() == [f"-m bayround open {sample}"]


def test_without_a_screen_a_workbook_and_pictures_are_written(computer, checkout, venv, monkeypatch, capsys):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    folder = checkout / "pictures"
    sample = folder / "sample.bayround"
    assert begin("--venv", venv) == 0
    assert computer.names()[1:] == [
        f"-m bayround sample --to {sample}",
        f"-m bayround week {sample} --to {folder / 'sample-week.xlsx'} --replace",
        f"-m bayround pictures {sample} --to {folder}",
    ]
    printed = capsys.readouterr().out
    assert "no screen" in printed
    assert str(folder) in printed


class TestDebian:
    """System packages; the computer has apt-get, and the person is root or is not."""

    @pytest.fixture
    def person(self, monkeypatch):
        def be(*, root: bool, apt: bool = True) -> None:
            monkeypatch.setattr(sys, "platform", "linux")
            monkeypatch.setattr("os.geteuid", lambda: 0 if root else 1000, raising=False)
            monkeypatch.setattr("shutil.which", lambda name: "found" if apt and name == "apt-get" else None)

        return be

    def lacking(self, monkeypatch, *names: str) -> None:
        monkeypatch.setattr(
            begin_system,
            "missing_libraries",
            lambda wanted: {name: package for name, package in wanted.items() if name in names},
        )

    def test_root_gets_what_is_missing(self, computer, person, monkeypatch):
        person(root=True)
        monkeypatch.setattr(begin_system, "has_package_list", lambda: True)
        answers = [{"libEGL.so.1": "libegl1"}, {}]
        monkeypatch.setattr(begin_system, "missing_libraries", lambda wanted: answers.pop(0))
        begin_system.qt_ready(screen=True)
        assert computer.names() == ["install -y --no-install-recommends libegl1"]

    @pytest.mark.parametrize("bare", [True, False])
    def test_the_list_of_packages_is_fetched_when_missing_or_too_old(
        self, computer, person, monkeypatch, bare
    ):
        person(root=True)
        self.lacking(monkeypatch, "libEGL.so.1")
        monkeypatch.setattr(begin_system, "has_package_list", lambda: not bare)
        computer.codes[" install -y"] = 100
        with pytest.raises(begin_system.Trouble):
            begin_system.qt_ready(screen=True)
        tried = [name.split()[0] for name in computer.names()]
        assert tried == (["update", "install"] if bare else ["install", "update", "install"])

    def test_others_are_told_the_exact_line(self, computer, person, monkeypatch):
        person(root=False)
        self.lacking(monkeypatch, "libEGL.so.1", "libxcb-cursor.so.0")
        with pytest.raises(begin_system.Trouble) as told:
            begin_system.qt_ready(screen=True)
        line = "sudo apt-get install --no-install-recommends libegl1 libxcb-cursor0"
        assert str(told.value).endswith(line)
        assert computer.ran == []

    def test_without_a_screen_its_libraries_are_not_asked_of_a_person(self, computer, person, monkeypatch):
        person(root=False)
        self.lacking(monkeypatch, "libxcb-cursor.so.0")
        begin_system.qt_ready(screen=False)
        with pytest.raises(begin_system.Trouble):
            begin_system.qt_ready(screen=True)

    def test_nothing_is_asked_of_windows_and_macos(self, computer, monkeypatch):
        self.lacking(monkeypatch, *ALL_LIBRARIES)
        for system in ("win32", "darwin"):
            monkeypatch.setattr(sys, "platform", system)
            begin_system.qt_ready(screen=True)
            assert begin_system.has_screen()
        assert computer.ran == []

    def test_a_python_that_makes_no_environments(
        self, computer, checkout, tmp_path, person, monkeypatch, capsys
    ):
        person(root=False)
        monkeypatch.setattr(begin_environment, "_can_make_environments", lambda: False)
        assert begin("test", "--venv", tmp_path / "new") == 1
        line = f"apt-get install --no-install-recommends python3.{sys.version_info.minor}-venv"
        assert line in capsys.readouterr().err
        person(root=True)
        monkeypatch.setattr(begin_system, "has_package_list", lambda: True)
        begin("test", "--venv", tmp_path / "new")
        assert computer.names()[0].endswith(f"python3.{sys.version_info.minor}-venv")

    def test_a_missing_office_program_stops_no_other_test(self, computer, person, monkeypatch, capsys):
        person(root=False)
        monkeypatch.setattr(begin_system, "OFFICE", {"soffice": "libreoffice-calc-nogui"})
        begin_system.office_ready()
        assert (
            "sudo apt-get install --no-install-recommends libreoffice-calc-nogui" in capsys.readouterr().out
        )


def test_a_library_that_is_not_there_is_seen():
    assert begin_system.missing_libraries({"libnosuchthing.so.9": "nosuchthing"}) == {
        "libnosuchthing.so.9": "nosuchthing"
    }


def test_a_signal_that_ends_a_command_is_an_exit_code():
    end_it = "import os, signal; os.kill(os.getpid(), signal.SIGTERM)"
    assert begin_system.run((sys.executable, "-c", end_it)) == 128 + 15
    assert begin_system.run((sys.executable, "-c", "raise SystemExit(3)")) == 3


def test_the_program_names_the_same_packages():
    assert start.QT_LIBRARIES.split() == list(ALL_LIBRARIES.values())


def test_windows_keeps_its_python_elsewhere(monkeypatch):
    folder = Path("environment")
    monkeypatch.setattr(begin_environment.os, "name", "nt")
    assert begin_environment.python_of(folder).parts[-2:] == ("Scripts", "python.exe")
