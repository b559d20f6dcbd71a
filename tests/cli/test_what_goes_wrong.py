"""Problems are told in words with an exit code of their own; nobody sees a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import bayround
from bayround import logs, places
from bayround.actions import check as check_actions

CODE = Path(bayround.__file__).resolve().parent.parent


def in_a_process(
    typed: list[str], data_dir: Path, prepared: str = "pass", **settings: str
) -> subprocess.CompletedProcess[str]:
    code = f"import sys; {prepared}; from bayround.__main__ import main; sys.exit(main())"
    kept = {key: value for key, value in os.environ.items() if key not in {"DISPLAY", "WAYLAND_DISPLAY"}}
    return subprocess.run(
        [sys.executable, "-c", code, *typed],
        env={**kept, "PYTHONPATH": str(CODE), "BAYROUND_DATA_DIR": str(data_dir), **settings},
        capture_output=True,
        text=True,
        timeout=60,
    )


def test_a_missing_file_is_told_in_words(run, tmp_path):
    ended = run("jobs", tmp_path / "nowhere.bayround")
    assert (ended.code, ended.out) == (1, "")
    first, *rest = ended.err.splitlines()
    assert first.startswith("bayround: ")
    assert "nowhere.bayround" in first
    assert rest
    assert "Traceback" not in ended.err


def test_a_file_of_something_else_is_refused_and_left(run, tmp_path):
    other = tmp_path / "letter.bayround"
    other.write_bytes(b"Dear manager, " * 500)
    ended = run("check", other)
    assert ended.code == 1
    assert "not a farm file" in ended.err
    assert other.read_bytes() == b"Dear manager, " * 500


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["wek", "farm.bayround"], "invalid choice: 'wek'"),
        (["week", "farm.bayround"], "--to"),
        (["week", "farm.bayround", "--to", "week.pdf"], "ends in .xlsx"),
        (["package", "farm.bayround", "--to", "farm.tar"], "ends in .zip"),
        (["roles", "farm"], "no address of a server"),
        (["password", "farm"], "no address of a server"),
        (["pick", "farm.bayround", "S1", "3", "--fruit", "2.5"], "“2.5” is not a whole number"),
        (["season", "farm.bayround", "--to", "s.pdf", "--year", "last"], "“last” is not a whole number"),
        (["week", "farm.bayround", "--week", "2026-W54", "--to", "w.xlsx"], "“2026-W54” is not a week"),
        (["jobs"], "FILE"),
        (["jobs", ""], "a path is missing"),
        (["pictures", "farm.bayround", "--to", "x", "--size", "12x9"], "write it like 1280x720"),
        (["--data-dir"], "expected one argument"),
    ],
)
def test_wrong_use_is_told_with_code_two(run, typed, said):
    ended = run(*typed)
    assert (ended.code, ended.out) == (2, "")
    assert said in ended.err


def test_2026_has_53_weeks():
    """ISO 8601: a year that begins on a Thursday has 53 weeks; 2026 does. So W53 is right and W54 is not."""
    from bayround.cli import arguments
    from bayround.facts.weeks import Week

    assert arguments.week("2026-W53") == Week(2026, 53)


def test_a_fault_of_the_program_goes_to_the_log_and_not_to_the_screen(
    run, farm_file, monkeypatch, own_data_dir
):
    def fall(_farm: object) -> tuple[str, ...]:
        raise ZeroDivisionError("by a bay without plants")

    monkeypatch.setattr(check_actions, "check", fall)
    ended = run("check", farm_file)
    assert (ended.code, ended.out) == (70, "")
    log = own_data_dir / "logs" / "bayround.log"
    assert str(log) in ended.err
    assert "Traceback" not in ended.err
    assert "by a bay without plants" not in ended.err
    written = log.read_text(encoding="utf-8")
    assert "Traceback" in written
    assert "by a bay without plants" in written


def test_stopping_a_command_is_no_fault(run, farm_file, monkeypatch):
    def stop(_farm: object) -> tuple[str, ...]:
        raise KeyboardInterrupt

    monkeypatch.setattr(check_actions, "check", stop)
    ended = run("check", farm_file)
    assert (ended.code, ended.err) == (130, "bayround: stopped.\n")


def test_data_dir_moves_the_programs_own_files(run, farm_file, tmp_path, own_data_dir):
    chosen = tmp_path / "on a stick"
    assert run("check", farm_file, "--data-dir", chosen).code == 0
    assert (chosen / "logs" / "bayround.log").is_file()
    assert list(own_data_dir.iterdir()) == []


def test_a_data_dir_that_cannot_be_used_is_told(run, tmp_path):
    in_the_way = tmp_path / "a file"
    in_the_way.write_text("x", encoding="utf-8")
    ended = run("--data-dir", in_the_way, "check", "farm.bayround")
    assert ended.code == 1
    assert "--data-dir" in ended.err


def test_a_settings_file_spoilt_by_hand_stops_nothing(run, farm_file, own_data_dir):
    (own_data_dir / "settings.toml").write_text('decimal_mark = ";"\nlanguage = "xx"\n', encoding="utf-8")
    assert run("check", farm_file).code == 0


def test_the_decimal_mark_of_the_person_is_used_in_text_and_not_in_json(run, farm_file, own_data_dir):
    (own_data_dir / "settings.toml").write_text('decimal_mark = ","\n', encoding="utf-8")
    assert "14,5 h" in run("jobs", farm_file).out
    assert json.loads(run("jobs", farm_file, "--json").out)[0]["hours"] == 14.5


def test_logging_ends_with_the_command(run, farm_file):
    run("check", farm_file)
    assert logs.log("cli").parent is not None
    assert not logs.logging.getLogger("bayround").handlers


def test_without_a_screen_the_window_says_so(run, monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    ended = run("open")
    assert ended.code == 1
    assert "no screen" in ended.err


def test_where_qt_is_not_installed_the_window_says_so_and_the_rest_works(farm_file, tmp_path):
    no_qt = "sys.modules['PySide6'] = None"
    opened = in_a_process(["open", str(farm_file)], tmp_path, no_qt, QT_QPA_PLATFORM="offscreen")
    assert opened.returncode == 1
    assert "The window can't be opened" in opened.stderr
    assert "Traceback" not in opened.stderr
    assert in_a_process(["check", str(farm_file)], tmp_path, no_qt).returncode == 0


def test_a_reader_that_goes_away_is_no_fault(farm_file, tmp_path):
    shut = "import os; r, w = os.pipe(); os.close(r); os.dup2(w, 1)"
    ended = in_a_process(["jobs", str(farm_file)], tmp_path, shut)
    assert (ended.returncode, ended.stderr) == (141, "")


def test_a_terminal_that_lacks_letters_shows_the_rest(farm_file, tmp_path):
    ended = in_a_process(["jobs", str(farm_file)], tmp_path, PYTHONIOENCODING="ascii")
    assert ended.returncode == 0
    assert "\\xb7" in ended.stdout


def test_version(run):
    ended = run("--version")
    assert (ended.code, ended.out) == (0, f"bayround {bayround.__version__}\n")


def test_places_are_put_back():
    assert places._chosen_data_dir is None


def test_what_is_no_package_or_not_there_is_told_without_the_words_of_python(run, tmp_path):
    import zipfile

    other = tmp_path / "other.zip"
    with zipfile.ZipFile(other, "w") as parts:
        parts.writestr("letter.txt", "Dear manager")
    ended = run("rebuild", other, "--to", tmp_path / "new.bayround")
    assert (ended.code, "no data package that Bayround wrote" in ended.err) == (1, True)
    ended = run("rebuild", tmp_path / "gone.zip", "--to", tmp_path / "new.bayround")
    assert (ended.code, "There is no file" in ended.err) == (1, True)
    assert not (tmp_path / "new.bayround").exists()


def test_a_job_ticked_off_twice_is_said_to_be_done(run, farm_file):
    jobs = json.loads(run("jobs", farm_file, "--json").out)
    job = next(one for one in jobs if not one["blocked_by"] and one["kind"] != "pest or disease")
    kind = job["kind"].capitalize()  # as the list of jobs prints it
    typed = ("done", farm_file, f"{job['house']} · {job['bay']}", kind)
    assert run(*typed).code == 0
    again = run(*typed)
    assert (again.code, "done or skipped already" in again.err) == (1, True)
