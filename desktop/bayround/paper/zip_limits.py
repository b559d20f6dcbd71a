"""Looks at a zip file from elsewhere before anything in it is unpacked: parts, sizes, how much they swell."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from zipfile import BadZipFile, LargeZipFile, ZipFile

from bayround.facts.problems import Problem
from bayround.words import _


@dataclass(frozen=True, slots=True)
class Limits:
    """What a file may be at most; sizes in bytes, *ratio* is unpacked ÷ packed."""

    file_bytes: int = 100_000_000
    parts: int = 200
    part_bytes: int = 200_000_000
    all_bytes: int = 400_000_000
    ratio: float = 200.0


def refuse_strange(path: Path, limits: Limits) -> None:
    """Refuse a file that is no zip, is encrypted, or would swell beyond the limits.

    Raises:
        Problem: in words, nothing was unpacked.
    """
    kept = _("Nothing was read from it.")
    try:
        if path.stat().st_size > limits.file_bytes:
            raise Problem(_("“{name}” is too large to be read.").format(name=path.name), kept)
        with ZipFile(path) as parts:
            infos = parts.infolist()
    except (BadZipFile, LargeZipFile, ValueError, NotImplementedError, EOFError) as error:
        raise Problem(_("“{name}” can't be read: it is damaged or of another kind.").format(name=path.name),
                      kept) from error  # fmt: skip
    except FileNotFoundError as error:
        raise Problem(_("There is no file “{name}”.").format(name=path), kept,
                      _("Look for it in another folder.")) from error  # fmt: skip
    except OSError as error:
        raise Problem(_("“{name}” can't be read: {why}.").format(name=path.name, why=error.strerror or error),
                      kept) from error  # fmt: skip
    if any(info.flag_bits & 1 for info in infos):
        raise Problem(_("“{name}” is encrypted.").format(name=path.name), kept)
    swells = any(
        info.file_size > limits.part_bytes
        or (info.file_size > 1_000_000 and info.file_size > limits.ratio * max(info.compress_size, 1))
        for info in infos
    )
    if swells or len(infos) > limits.parts or sum(info.file_size for info in infos) > limits.all_bytes:
        raise Problem(_("“{name}” would swell beyond measure when unpacked.").format(name=path.name), kept)
