"""What the computer itself has to have: a screen, Qt's libraries, an office program for the tests."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

LIBRARIES: Mapping[str, str] = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libfontconfig.so.1": "libfontconfig1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libxkbcommon.so.0": "libxkbcommon0",
}
"""What Qt needs on Linux even without a screen, and the Debian package that holds it."""

SCREEN_LIBRARIES: Mapping[str, str] = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
"""What Qt needs besides to draw on a screen."""

OFFICE: Mapping[str, str] = {"soffice": "libreoffice-calc-nogui", "pdftoppm": "poppler-utils"}
"""Programs that some tests run, and the Debian package that holds them."""


class Trouble(Exception):
    """Something a person can do something about: what happened, what was kept, what to do."""

    def __init__(self, message: str, kept: str = "", to_do: str = "") -> None:
        super().__init__("\n".join(part for part in (message, kept, to_do) if part))


def say(*lines: str) -> None:
    """Print lines at once, before what is started next prints its own."""
    print(*lines, sep="\n", flush=True)


def run(command: Sequence[str], *, folder: Path | None = None, quiet: bool = False) -> int:
    """Run a command in sight of the person; return its exit code (128 + n where signal n ended it).

    *quiet* hides what it prints, but not what it says on standard error.
    """
    try:
        code = subprocess.call(list(command), cwd=folder, stdout=subprocess.DEVNULL if quiet else None)
    except OSError as error:
        raise Trouble(f"{command[0]} can't be run: {error.strerror}.") from error
    return 128 - code if code < 0 else code


def ask(command: Sequence[str]) -> tuple[int, str]:
    """Run a command out of sight; return its exit code (127 where it can't be run) and what it printed."""
    try:
        done = subprocess.run(list(command), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    except OSError:
        return 127, ""
    return done.returncode, done.stdout


def has_screen() -> bool:
    """Return whether a window can open: on Linux a display has to be named."""
    if not sys.platform.startswith("linux"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def qt_ready(*, screen: bool) -> None:
    """Have the system libraries that Qt needs (Linux only; Windows and macOS bring them along).

    As root on Debian or Ubuntu all that are missing are installed; otherwise the line to run is told.

    Raises:
        Trouble: when one is missing that can't be done without.
    """
    if not sys.platform.startswith("linux"):
        return
    missing = missing_libraries({**LIBRARIES, **SCREEN_LIBRARIES})
    if not missing:
        return
    packages = tuple(missing.values())
    if install(packages, "Installing the system libraries that the window needs"):
        missing = missing_libraries(missing)
    needed = {name for name in missing if screen or name in LIBRARIES}
    if needed:
        raise Trouble(
            f"The window needs libraries that this computer lacks: {', '.join(sorted(needed))}.",
            to_do=f"Run: {line_for(packages)}",
        )


def missing_libraries(libraries: Mapping[str, str]) -> dict[str, str]:
    """Return those of *libraries* (file name to package) that the system's loader can't load."""
    missing = {}
    for name, package in libraries.items():
        try:
            ctypes.CDLL(name)
        except OSError:
            missing[name] = package
    return missing


def office_ready() -> None:
    """Have an office program and a PDF renderer, which some tests run; without them those tests fail."""
    missing = tuple(package for program, package in OFFICE.items() if not shutil.which(program))
    if not missing:
        return
    if install(missing, "Installing an office program and a PDF renderer for the tests"):
        return
    say(
        f"Missing for some tests: {', '.join(missing)}. Those tests will fail; all others run.",
        f'Run: {line_for(missing)}   (or leave those tests out: -m "not office")',
    )


def install(packages: Sequence[str], why: str) -> bool:
    """Install Debian packages, as root on Debian or Ubuntu; return whether that was done.

    Where it can't be done nothing happens. The list of packages is fetched when a bare machine has none
    yet, and once more when it turns out to be too old.
    """
    if not (shutil.which("apt-get") and os.geteuid() == 0):
        return False
    say(f"{why} (this may take some minutes): {' '.join(packages)} ...")
    command = ("install", "-y", "--no-install-recommends", *packages)
    if has_package_list() and _apt_get(*command):
        return True
    return _apt_get("update") and _apt_get(*command)


def has_package_list() -> bool:
    """Return whether apt-get knows any package by name."""
    return any(Path("/var/lib/apt/lists").glob("*Packages*"))


def _apt_get(*words: str) -> bool:
    """Run apt-get, which says only what goes wrong; return whether it ended well."""
    return (
        run(
            ("env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-qq", "-o=Dpkg::Use-Pty=0", *words),
            quiet=True,
        )
        == 0
    )


def line_for(packages: Sequence[str]) -> str:
    """Return the exact line for a person to run."""
    if shutil.which("apt-get"):
        return f"sudo apt-get install --no-install-recommends {' '.join(packages)}"
    return f"your system's package manager for what Debian calls {' '.join(packages)}"
