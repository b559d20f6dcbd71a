"""PINs: who is at the keys, between honest colleagues. They protect nothing, and the screens say so.

Whoever has the laptop can read and change the farm file beside the program; a PIN of four to six digits is
guessed in minutes to hours by a program even with a slow hash. It keeps one person from writing under another
one's name by mistake. Hash: Argon2id with the memory and passes that OWASP names as its minimum for 46 MiB
(OWASP Password Storage Cheat Sheet, 2026): about a tenth of a second on a farm laptop.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from bayround.actions.farm import OpenFarm
from bayround.facts.problems import Problem, Refused
from bayround.records import pins
from bayround.words import _

FEWEST, MOST = 4, 12
_MEMORY_KIB, _PASSES, _LANES = 47_104, 1, 1
_FREE_TRIES = 2
_LONGEST_WAIT_S = 60.0


def with_pin(farm: OpenFarm) -> frozenset[str]:
    """Return the ids of the people who have a PIN."""
    return frozenset(pins.read_pins(farm.store))


def fits(farm: OpenFarm, person_id: str, pin: str) -> bool:
    """Tell whether a PIN is this person's; anything fits where there is none.

    Raises:
        Problem: when argon2 is not installed, or what is kept is no hash of it.
    """
    kept = pins.read_pins(farm.store).get(person_id)
    return kept is None or _is_same(kept, pin)


def _is_same(kept: str, pin: str) -> bool:
    argon2 = _argon2()
    try:
        return bool(_hasher(argon2).verify(kept, pin))
    except argon2.exceptions.VerifyMismatchError:
        return False
    except (argon2.exceptions.InvalidHashError, argon2.exceptions.VerificationError):
        return False  # a damaged hash fits nothing; the PIN can be taken out


def set_pin(farm: OpenFarm, person_id: str, new: str, current: str, by: str | None, now: datetime) -> None:
    """Give a person a PIN, or another one.

    Raises:
        Refused: when it is too short, no digits, or *current* is not the PIN there is; nothing is changed.
    """
    if not (new.isascii() and new.isdigit() and FEWEST <= len(new) <= MOST):
        raise Refused(
            _("A PIN has {fewest} to {most} digits.").format(fewest=FEWEST, most=MOST),
            _("Nothing was changed."),
        )
    _refuse_wrong(farm, person_id, current)
    pins.write_pin(farm.store, person_id, _hasher(_argon2()).hash(new), by, now)


def remove_pin(farm: OpenFarm, person_id: str, current: str, by: str | None, now: datetime) -> None:
    """Take a person's PIN out.

    Raises:
        Refused: when *current* is not the PIN there is.
    """
    _refuse_wrong(farm, person_id, current)
    pins.write_pin(farm.store, person_id, "", by, now)


def remove_forgotten(farm: OpenFarm, person_id: str, by: str | None, now: datetime) -> None:
    """Take a forgotten PIN out without knowing it: nobody is ever locked out of a farm. The history says so."""
    pins.write_pin(farm.store, person_id, "", by, now, _("forgotten: taken out without knowing it"))


def _refuse_wrong(farm: OpenFarm, person_id: str, current: str) -> None:
    if not fits(farm, person_id, current):
        raise Refused(
            _("That is not the PIN there is now."),
            _("Nothing was changed."),
            _("Type it again; a forgotten one can be taken out."),
        )


def _argon2() -> Any:
    try:
        import argon2  # late: it is needed for PINs only
    except ImportError as error:
        raise Problem(
            _("For PINs a part is missing: {why}.").format(why=error),
            _("Nothing was changed."),
            _("Install it with: pip install argon2-cffi"),
        ) from error
    return argon2


def _hasher(argon2: Any) -> Any:
    return argon2.PasswordHasher(time_cost=_PASSES, memory_cost=_MEMORY_KIB, parallelism=_LANES)


@dataclass(slots=True)
class Patience:
    """Wrong PINs make one wait, longer each time and never longer than a minute; nobody is locked out.

    Attributes:
        clock: seconds that only go up.
    """

    clock: Callable[[], float]
    _wrong: dict[str, int] = field(default_factory=dict)
    _until: dict[str, float] = field(default_factory=dict)

    def wait_s(self, person_id: str) -> float:
        """Return how many seconds to wait before the next try; 0: none."""
        return max(0.0, self._until.get(person_id, 0.0) - self.clock())

    def was_wrong(self, person_id: str) -> float:
        """Note a wrong PIN and return how many seconds to wait now."""
        count = self._wrong[person_id] = self._wrong.get(person_id, 0) + 1
        wait = 0.0 if count <= _FREE_TRIES else min(_LONGEST_WAIT_S, 2.0 ** (count - _FREE_TRIES))
        self._until[person_id] = self.clock() + wait
        return wait

    def was_right(self, person_id: str) -> None:
        """Forget the wrong ones."""
        self._wrong.pop(person_id, None)
        self._until.pop(person_id, None)
