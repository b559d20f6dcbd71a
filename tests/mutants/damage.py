"""Bytes go wrong: flips, holes, cuts, swapped and doubled pages, headers that lie. The same chance, the same damage."""

from __future__ import annotations

import random
from collections.abc import Callable

PAGE = 4096
_ODD_NUMBERS = (0, 1, 2, 3, 0x7F, 0x80, 0xFF, 0x7FFF, 0x8000, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF)

Damage = Callable[[bytearray, random.Random], None]


def flip_bits(content: bytearray, chance: random.Random) -> None:
    """Flip some bits anywhere."""
    for _bit in range(chance.choice((1, 1, 2, 8, 64))):
        content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)


def overwrite(content: bytearray, chance: random.Random) -> None:
    """Put random bytes over a stretch."""
    length = min(len(content), chance.choice((1, 4, 16, 512, PAGE)))
    start = chance.randrange(len(content) - length + 1)
    content[start : start + length] = chance.randbytes(length)


def blank(content: bytearray, chance: random.Random) -> None:
    """Zeros, or 0xFF, over a stretch: what a stick gives back for a lost sector."""
    length = min(len(content), chance.choice((4, 512, PAGE)))
    start = chance.randrange(len(content) - length + 1)
    content[start : start + length] = bytes((chance.choice((0, 0xFF)),)) * length


def cut_off(content: bytearray, chance: random.Random) -> None:
    """Keep the beginning only."""
    del content[chance.randrange(len(content)) :]


def cut_out(content: bytearray, chance: random.Random) -> None:
    """Take a stretch out, so that all after it moves up."""
    start = chance.randrange(len(content))
    del content[start : start + chance.choice((1, 16, 512, PAGE))]


def put_in(content: bytearray, chance: random.Random) -> None:
    """Put random bytes in, so that all after them moves down."""
    start = chance.randrange(len(content) + 1)
    content[start:start] = chance.randbytes(chance.choice((1, 16, 512, PAGE)))


def append(content: bytearray, chance: random.Random) -> None:
    """Something follows the end."""
    content += chance.randbytes(chance.choice((1, 100, PAGE)))


def swap_blocks(content: bytearray, chance: random.Random) -> None:
    """Two pages change places."""
    first, second = _block(content, chance), _block(content, chance)
    content[first], content[second] = content[second], content[first]


def double_block(content: bytearray, chance: random.Random) -> None:
    """One page stands where another one should."""
    content[_block(content, chance)] = content[_block(content, chance)]


def odd_number(content: bytearray, chance: random.Random) -> None:
    """A number of one, two or four bytes becomes one at the edge, mostly where the headers of a file are."""
    size = chance.choice((1, 2, 4))
    top = min(len(content), chance.choice((100, 200, len(content)))) - size
    start = chance.randrange(max(1, top))
    content[start : start + size] = (chance.choice(_ODD_NUMBERS) & (256**size - 1)).to_bytes(size, "big")


def odd_number_in_a_block(content: bytearray, chance: random.Random) -> None:
    """The same at the head of a page: kind of page, cells, where they start."""
    start = _block(content, chance).start + chance.randrange(16)
    content[start : start + 2] = (chance.choice(_ODD_NUMBERS) & 0xFFFF).to_bytes(2, "big")


DAMAGES: tuple[Damage, ...] = (
    flip_bits,
    overwrite,
    blank,
    cut_off,
    cut_out,
    put_in,
    append,
    swap_blocks,
    double_block,
    odd_number,
    odd_number_in_a_block,
)


def _block(content: bytearray, chance: random.Random) -> slice:
    start = PAGE * chance.randrange(max(1, len(content) // PAGE))
    return slice(start, start + PAGE)


def damaged(content: bytes, chance: random.Random) -> bytes:
    """Return the content with one to three damages."""
    found = bytearray(content)
    for _time in range(chance.choice((1, 1, 1, 2, 3))):
        if found:
            chance.choice(DAMAGES)(found, chance)
    return bytes(found)
