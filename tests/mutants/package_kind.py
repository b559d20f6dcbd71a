"""Data packages that come from elsewhere: damaged bytes, lying tables with honest digests, another description."""

from __future__ import annotations

import hashlib
import json
import random
import zipfile
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import damage
import paper_damage

from bayround.actions import data_package
from bayround.actions import farm as farm_actions

_DESCRIPTION = "datapackage.json"
_ODD: tuple[Any, ...] = (None, -1, 1e308, "", "../../x.csv", "/etc/passwd", [], {}, True, "x" * 5000)


def make_sound(folder: Path, live: Path) -> tuple[Path, ...]:
    """Write the live farm as a package."""
    with closing(farm_actions.open_farm(live, read_only=True)) as farm:
        return (data_package.package(farm, folder / "farm.zip"),)


def mutate(sound: Path, mutant: Path, chance: random.Random) -> None:
    """Damage the zip's bytes, or change tables and description; two times in three the digests are made to agree."""
    if chance.random() < 0.3:
        mutant.write_bytes(damage.damaged(sound.read_bytes(), chance))
        return
    with zipfile.ZipFile(sound) as packed:
        members = {name: packed.read(name) for name in packed.namelist()}
    work = mutant.with_suffix(".part")
    for _time in range(chance.choice((1, 1, 2, 4))):
        name = chance.choice(sorted(members))
        if name.endswith(".csv"):
            work.write_bytes(members[name])
            paper_damage.text_table(work, work, chance)
            members[name] = work.read_bytes()
        elif chance.random() < 0.1:
            del members[name]
        elif name == _DESCRIPTION:
            members[name] = _told_otherwise(members[name], chance)
    work.unlink(missing_ok=True)
    if chance.random() < 0.67:
        with suppress(ValueError, KeyError, TypeError, AttributeError):
            members[_DESCRIPTION] = _agreeing(members)
    with zipfile.ZipFile(mutant, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(name, content)


def _told_otherwise(content: bytes, chance: random.Random) -> bytes:
    """Return the description with one of its values replaced, somewhere inside."""
    described = json.loads(content)
    place: Any = described
    while True:
        keys = list(place) if isinstance(place, dict) else list(range(len(place)))
        key = chance.choice(keys)
        if isinstance(place[key], dict | list) and place[key] and chance.random() < 0.8:
            place = place[key]
            continue
        if chance.random() < 0.3:
            del place[key]
        else:
            place[key] = chance.choice(_ODD)
        return json.dumps(described).encode()


def _agreeing(members: dict[str, bytes]) -> bytes:
    described = json.loads(members[_DESCRIPTION])
    for one in described["resources"]:
        data = members.get(one["path"], b"")
        one |= {"bytes": len(data), "hash": f"sha256:{hashlib.sha256(data).hexdigest()}"}
    return json.dumps(described).encode()


def rebuild_it(mutant: Path, _live: Path) -> None:
    """Make a farm file of it; nothing half made may stay behind."""
    made = mutant.with_name("made.bayround")
    try:
        data_package.rebuild(mutant, made)
    finally:
        left = {path.name for path in mutant.parent.iterdir()} - {mutant.name, made.name}
        assert not left, left
    with closing(farm_actions.open_farm(made, read_only=True)):
        pass
