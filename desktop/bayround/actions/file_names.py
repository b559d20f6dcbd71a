"""Names of files that Windows, macOS and Linux take."""

from __future__ import annotations

_NOT_IN_NAMES = set('<>:"/\\|?*')
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
_LONGEST_NAME = 80


def safe(text: str, suffix: str, otherwise: str = "Farm") -> str:
    """Return *text* as a file name with *suffix*, without signs that some system refuses."""
    letters = (" " if letter in _NOT_IN_NAMES or not letter.isprintable() else letter for letter in text)
    name = " ".join("".join(letters).split())[:_LONGEST_NAME].strip(" .")
    if not name or name.split(".")[0].casefold() in _RESERVED:
        name = f"{otherwise} {name}".strip()
    return f"{name}{suffix}"
