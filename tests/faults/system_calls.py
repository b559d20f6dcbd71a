"""The few calls by which the program itself names, copies, writes, syncs and removes files, each one watched."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, BinaryIO

import watching
from disk import Disk

from bayround.paper.workbook import saving


class _Written:
    """A file that the program writes by itself; each write reaches the disk at once, and may fail."""

    def __init__(self, file: BinaryIO, name: str, disk: Disk) -> None:
        self._file, self._name, self._disk = file, name, disk

    def write(self, data: Any) -> int:
        watching.now[-1].fail("write", self._name)
        place, data = self._file.tell(), bytes(data)
        self._disk.note("write", self._disk.number(self._name), place, data)
        written = self._file.write(data)
        self._file.flush()
        return written

    def truncate(self, size: int) -> int:
        watching.now[-1].fail("cut", self._name)
        self._disk.note("cut", self._disk.number(self._name), size)
        return self._file.truncate(size)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)

    def __enter__(self) -> _Written:
        return self

    def __exit__(self, *_what: object) -> None:
        self._file.close()


def watched_calls(disk: Disk) -> dict[tuple[Any, str], Callable[..., Any]]:
    """Return what takes the place of which call."""
    return {**_naming(disk), **_filling(disk), **_making(disk)}


def _naming(disk: Disk) -> dict[tuple[Any, str], Callable[..., Any]]:
    own_link, own_rename, own_replace, own_unlink = os.link, os.rename, os.replace, Path.unlink

    def link(source: Any, target: Any) -> None:
        watching.now[-1].fail("link", str(target))
        own_link(source, target)
        disk.link(str(source), str(target))

    def rename(source: Any, target: Any) -> None:
        watching.now[-1].fail("rename", str(target))
        own_rename(source, target)
        disk.rename(str(source), str(target))

    def replace(source: Any, target: Any) -> None:
        watching.now[-1].fail("rename", str(target))
        own_replace(source, target)
        if str(source) in disk.names:
            disk.rename(str(source), str(target))

    def unlink(path: Path, missing_ok: bool = False) -> None:
        watching.now[-1].fail("remove", str(path))
        own_unlink(path, missing_ok)
        disk.remove(str(path), False)

    return {(os, "link"): link, (os, "rename"): rename, (os, "replace"): replace, (Path, "unlink"): unlink}


def _filling(disk: Disk) -> dict[tuple[Any, str], Callable[..., Any]]:
    own_fsync, own_copy = os.fsync, shutil.copyfile

    def fsync(handle: int) -> None:
        name = os.readlink(f"/proc/self/fd/{handle}")
        watching.now[-1].fail("sync", name)
        own_fsync(handle)
        if watching.now[-1].syncs:
            disk.note(*(("folder", name) if os.path.isdir(name) else ("sync", disk.number(name))))

    def copyfile(source: Any, target: Any) -> Any:
        watching.now[-1].fail("write", str(target))
        made = own_copy(source, target)
        disk.note("write", disk.number(str(target)), 0, Path(target).read_bytes())
        return made

    return {(os, "fsync"): fsync, (shutil, "copyfile"): copyfile}


def _making(disk: Disk) -> dict[tuple[Any, str], Callable[..., Any]]:
    own_open, own_path_open, own_mkdir = os.open, Path.open, os.mkdir

    def system_open(path: Any, flags: int, *rest: Any, **more: Any) -> int:
        if flags & os.O_CREAT and not os.path.exists(path):
            watching.now[-1].fail("make", str(path))
        return own_open(path, flags, *rest, **more)

    def new_paper(name: Any, mode: str) -> Any:
        watching.now[-1].fail("make", str(name))
        made = _Written(open(name, mode), str(name), disk)  # noqa: SIM115  (whoever asked closes it)
        disk.number(str(name))
        return made

    def path_open(path: Path, mode: str = "r", *rest: Any, **more: Any) -> Any:
        file = own_path_open(path, mode, *rest, **more)
        return _Written(file, str(path), disk) if mode == "rb+" else file

    def mkdir(path: Any, *rest: Any, **more: Any) -> None:
        if not os.path.exists(path):
            watching.now[-1].fail("make", str(path))
        own_mkdir(path, *rest, **more)

    return {
        (os, "open"): system_open, (saving, "open"): new_paper, (Path, "open"): path_open, (os, "mkdir"): mkdir,
    }  # fmt: skip
