"""Writing the file: whole or not at all, the same bytes for the same week, faults in words."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from bayround.facts.problems import Problem
from bayround.words import _

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

_FIRST_ZIP_YEAR = 1980
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


class _SteadyZip(ZipFile):
    """A zip file whose parts all carry one date, so that equal contents give equal bytes."""

    def __init__(self, file: Any, day: date, watch: Callable[[], None]) -> None:
        super().__init__(file, "w", ZIP_DEFLATED, allowZip64=True)
        self._day = (max(day.year, _FIRST_ZIP_YEAR), day.month, day.day, 0, 0, 0)
        self._watch = watch

    def writestr(self, zinfo_or_arcname: Any, data: Any, *_rest: Any, **_more: Any) -> None:
        """Write one part under the fixed date."""
        self._watch()
        info = ZipInfo(str(zinfo_or_arcname), self._day)
        info.compress_type = ZIP_DEFLATED
        info.create_system = 0
        super().writestr(info, data)

    def write(self, filename: Any, arcname: Any = None, *_rest: Any, **_more: Any) -> None:
        """Write one part from a file under the fixed date."""
        self.writestr(arcname, Path(filename).read_bytes())


def save(workbook: Workbook, path: Path, day: date, watch: Callable[[], None]) -> None:
    """Write *workbook* beside *path*, see it safe on disk, then put it in the place of *path* in one step.

    Raises:
        Problem: the folder is missing or read-only, the disk is full, the file is open elsewhere.
            What stood at *path* before is then still there.
    """
    from bayround.paper.workbook.sheet_xml import QuickWriter

    refuse_bad_place(path)
    made = BytesIO()
    with _in_words(path):
        QuickWriter(workbook, _SteadyZip(made, day, watch)).save()
    write_whole(path, made.getbuffer())


def write_whole(path: Path, data: bytes | memoryview) -> None:
    """Write *data* beside *path*, see it safe on disk, then put it in the place of *path* in one step.

    Raises:
        Problem: as `save`.
    """
    refuse_bad_place(path)
    partial = path.with_name(f".{path.stem[:40]}.{uuid4().hex[:8]}.part")
    with _in_words(path), _gone_after(partial):
        with open(partial, "xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _put_in_place(partial, path)
        _sync_folder(path.parent)


def refuse_bad_place(path: Path) -> None:
    """Refuse, in words, a path whose folder is missing or that is a folder itself."""
    if not path.parent.is_dir():
        raise Problem(
            _("The folder {folder} does not exist.").format(folder=path.parent),
            _("Nothing was written."),
            _("Choose another folder; if it lies on a stick or a network drive, see that it is connected."),
        )
    if path.is_dir():
        raise Problem(
            _("{path} is a folder, not a file.").format(path=path),
            _("Nothing was written."),
            _("Choose another name."),
        )


def _put_in_place(partial: Path, path: Path) -> None:
    try:
        os.replace(partial, path)
    except PermissionError as error:
        raise Problem(
            _("{name} can't be replaced: it is open in another program or write-protected.").format(
                name=path.name
            ),
            _("The earlier file is as it was; the new one was not kept."),
            _("Close it there and write again, or choose another name."),
        ) from error


@contextmanager
def _gone_after(partial: Path) -> Iterator[None]:
    """Remove the unfinished file whatever happens."""
    try:
        yield
    finally:
        with suppress(OSError):
            partial.unlink(missing_ok=True)


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Turn what the system says into what a person can do."""
    kept = _("Nothing was written; an earlier file is as it was.")
    try:
        yield
    except OSError as error:
        if error.errno in _FULL:
            message = _("There is no room left to write {name}.").format(name=path.name)
            to_do = _("Make room on the disk or choose another folder, then write again.")
        elif isinstance(error, PermissionError) or error.errno == errno.EROFS:
            message = _("The folder {folder} can't be written to.").format(folder=path.parent)
            to_do = _("Choose a folder of your own, for instance your documents.")
        else:
            message = _("{name} can't be written: {why}.").format(name=path.name, why=error.strerror or error)
            to_do = _("Choose another folder and write again.")
        raise Problem(message, kept, to_do) from error


def _sync_folder(folder: Path) -> None:
    """See the new name safe on disk too, where the system lets us (not on Windows)."""
    if os.name != "posix":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
