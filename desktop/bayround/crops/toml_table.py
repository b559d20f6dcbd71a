"""Reading TOML tables so that every fault names the file and the key, for the person who edits them."""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

Choice = TypeVar("Choice", bound=str)


@dataclass(frozen=True, slots=True)
class TomlTable:
    """A table of a TOML file that knows its file and place. Every reader raises ValueError on a fault."""

    file_name: str
    place: str
    values: Mapping[str, object]

    def fault(self, key: str, what: str) -> ValueError:
        """The error for a faulty key: file, place, key and what is wrong."""
        place = ".".join(part for part in (self.place, key) if part)
        return ValueError(f"{self.file_name}: {place}: {what}")

    def _value(self, key: str) -> object:
        if key not in self.values:
            raise self.fault(key, "is missing")
        return self.values[key]

    def text(self, key: str, *, may_be_empty: bool = False, default: str | None = None) -> str:
        """A text; must not be blank unless allowed. `default` stands in for a missing key."""
        value = default if default is not None and key not in self.values else self._value(key)
        if not isinstance(value, str):
            raise self.fault(key, f"must be a text in quotes, not {value!r}")
        if not may_be_empty and not value.strip():
            raise self.fault(key, "must not be empty")
        return value

    def choice(self, key: str, allowed: tuple[Choice, ...]) -> Choice:
        """A text that must be one of `allowed`."""
        value = self.text(key, may_be_empty=True)
        for one in allowed:
            if one == value:
                return one
        raise self.fault(key, f"must be one of {', '.join(repr(one) for one in allowed)}, not {value!r}")

    def number(self, key: str) -> float:
        """A finite number (whole or decimal, never true/false)."""
        value = self._value(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.fault(key, f"must be a number without quotes, not {value!r}")
        if not math.isfinite(value):
            raise self.fault(key, f"must be a finite number, not {value!r}")
        return float(value)

    def whole(self, key: str, low: int, high: int) -> int:
        """A whole number from `low` to `high`."""
        value = self._value(key)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise self.fault(key, f"must be a whole number from {low} to {high}, not {value!r}")
        return value

    def flag(self, key: str) -> bool:
        """true or false."""
        value = self._value(key)
        if not isinstance(value, bool):
            raise self.fault(key, f"must be true or false, not {value!r}")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts: at least one, none blank, none twice."""
        value = self._value(key)
        if not isinstance(value, list) or not value:
            raise self.fault(key, "must be a list of texts in square brackets, with at least one")
        texts: list[str] = []
        for one in value:
            if not isinstance(one, str) or not one.strip():
                raise self.fault(key, f"must hold only texts in quotes, not {one!r}")
            if one in texts:
                raise self.fault(key, f"names {one!r} twice")
            texts.append(one)
        return tuple(texts)

    def table(self, key: str) -> "TomlTable":
        """A table `[key]` inside this one."""
        value = self._value(key)
        if not isinstance(value, dict):
            raise self.fault(key, f"must be a table written as [{key}]")
        return TomlTable(self.file_name, ".".join(part for part in (self.place, key) if part), value)

    def tables(self, key: str, *, required: bool = True) -> tuple["TomlTable", ...]:
        """A list of tables `[[key]]`. Each knows its number in the list, and its own key if it has one."""
        if not required and key not in self.values:
            return ()
        value = self._value(key)
        if not isinstance(value, list) or not value or not all(isinstance(one, dict) for one in value):
            raise self.fault(key, f"must be a list of tables, each written as [[{key}]]")
        tables = []
        for index, one in enumerate(value, start=1):
            name = f"{index} '{one['key']}'" if isinstance(one.get("key"), str) else str(index)
            place = ".".join(part for part in (self.place, f"{key}[{name}]") if part)
            tables.append(TomlTable(self.file_name, place, one))
        return tuple(tables)

    def refuse_unknown(self, known: tuple[str, ...]) -> None:
        """Raise ValueError for any key that is not known: most often a misspelling."""
        for key in self.values:
            if key not in known:
                raise self.fault(key, f"is not known here; known are: {', '.join(known)}")


def read_toml(path: Path) -> TomlTable:
    """Read one TOML file. Raises ValueError naming the file when it is missing, not UTF-8 or not TOML."""
    try:
        return TomlTable(path.name, "", tomllib.loads(path.read_bytes().decode("utf-8")))
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"{path.name}: not a valid TOML file: {error}") from error
    except UnicodeDecodeError as error:
        raise ValueError(f"{path.name}: must be saved as UTF-8 text: {error}") from error
    except OSError as error:
        raise ValueError(f"{path.name}: cannot be read: {error.strerror} ({path})") from error
