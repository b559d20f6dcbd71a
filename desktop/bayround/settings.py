"""The person's choices on this computer. Each setting is declared once, here."""

from __future__ import annotations

import json
import os
import tomllib
from dataclasses import dataclass
from pathlib import Path

from bayround import places

Value = str | int | float | bool


@dataclass(frozen=True, slots=True)
class Setting:
    """One choice: its key, its value when nobody chose, and what it is for."""

    key: str
    default: Value
    title: str


LANGUAGE = Setting("language", "", "Language of the program (empty: the computer's)")
DECIMAL_MARK = Setting("decimal_mark", ".", "Decimal mark on screens: . or ,")
THEME = Setting("theme", "light", "Look of the window: light or dark")
LARGE_TYPE = Setting("large_type", False, "Large type for standing in a shed")
LAST_FARM = Setting("last_farm", "", "Farm file opened last")
LAST_SCOUT = Setting("last_scout", "", "Scout chosen last")
AT_DESK = Setting("at_desk", "", "People at the desk of each farm, newest first")
HAND_OVER_MINUTES = Setting(
    "hand_over_minutes", 10, "Minutes without a key after which a desk with a PIN is handed over (0: never)"
)
WINDOW_WIDTH = Setting("window_width", 1280, "Width of the window when it was closed")
WINDOW_HEIGHT = Setting("window_height", 760, "Height of the window when it was closed")

ALL = (
    LANGUAGE, DECIMAL_MARK, THEME, LARGE_TYPE, LAST_FARM, LAST_SCOUT, AT_DESK, HAND_OVER_MINUTES,
    WINDOW_WIDTH, WINDOW_HEIGHT,
)  # fmt: skip
_BY_KEY = {setting.key: setting for setting in ALL}


def read(setting: Setting) -> Value:
    """Return what the person chose, or the default; a damaged file counts as no choice."""
    found = _load().get(setting.key, setting.default)
    return found if isinstance(found, type(setting.default)) else setting.default


def write(setting: Setting, value: Value) -> None:
    """Keep a choice; unknown keys in the file are kept too.

    Raises:
        KeyError: when the setting was not declared in this module.
        OSError: when the settings file can't be written.
    """
    if _BY_KEY.get(setting.key) is not setting:
        raise KeyError(setting.key)
    values = _load()
    values[setting.key] = value
    lines = [f"{key} = {json.dumps(kept, ensure_ascii=False)}" for key, kept in sorted(values.items())]
    target = places.settings_file()
    partial = target.with_suffix(".part")
    partial.write_text("\n".join(lines) + "\n", encoding="utf-8")
    os.replace(partial, target)


def _load() -> dict[str, Value]:
    path: Path = places.settings_file()
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, tomllib.TOMLDecodeError, UnicodeDecodeError):
        return {}
