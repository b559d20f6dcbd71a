"""XML read as a stream: no document in memory, no entities, no document types, a limit on everything.

The Python manual (chapter "XML Processing Modules", vulnerabilities) lists what an XML file can do to its
reader: entity expansion, external entities, large tokens. The parser underneath is told to refuse all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any
from xml.parsers import expat

from bayround.paper.imports import limits
from bayround.paper.imports.limits import cannot_be_read, stopped, too_large
from bayround.words import _

Attributes = dict[str, str]
Begin = Callable[[str, Attributes], None]
End = Callable[[str], None]
Text = Callable[[str], None]

_LONGEST_TAG, _MOST_NAMES = 1 << 19, 1_000


Progress = Callable[[float], object]
"""Told now and then which share (0 to 1) of a file is read; returns true when the person wants to stop."""

_ASK_EVERY = 2_000


def _never(_share: float) -> bool:
    return False


class Budget:
    """What all parts of one file may hold together; *progress* is asked now and then whether to go on."""

    def __init__(self, name: str, progress: Progress | None = None, all_bytes: int = 1) -> None:
        self.name = name
        self.elements = self.cells = self.signs = self.texts = self.bytes = 0
        self._progress, self._all_bytes = progress or _never, max(all_bytes, 1)

    def element(self) -> None:
        """Count an element.

        Raises:
            Stopped: when the person wants to stop.
        """
        self.elements += 1
        if self.elements % _ASK_EVERY == 0 and self._progress(min(1.0, self.bytes / self._all_bytes)):
            raise stopped()
        if self.elements > limits.ELEMENTS:
            raise too_large(self.name, _("more than {n} entries").format(n=limits.ELEMENTS))

    def cell(self, row: int, column: int) -> None:
        """Count a cell that holds something."""
        self.cells += 1
        if self.cells > limits.CELLS:
            raise too_large(self.name, _("more than {n} cells").format(n=limits.CELLS))
        if row > limits.LAST_ROW or column > limits.LAST_COLUMN:
            raise too_large(
                self.name,
                _("something stands beyond row {row} or column {column}").format(
                    row=limits.LAST_ROW, column=limits.LAST_COLUMN
                ),
            )

    def text(self, text: str) -> str:
        """Count a text that is kept, and return it."""
        self.texts += 1
        self.signs += len(text)
        if self.texts > limits.TEXTS or self.signs > limits.TEXT_SIGNS:
            raise too_large(self.name, _("more than {n} signs of text").format(n=limits.TEXT_SIGNS))
        return text


def read(pieces: Iterable[bytes], budget: Budget, begin: Begin, end: End, text: Text) -> None:
    """Read one part; element and attribute names come without their namespace.

    Raises:
        Problem: for a document type, an entity, broken XML, or more than the budget.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = False
    run = [0]
    plain: dict[str, str] = {}
    element = budget.element

    def begun(tag: str, attributes: Attributes) -> None:
        element()
        run[0] = 0
        if any(" " in key for key in attributes):
            attributes = {_plain(key): value for key, value in attributes.items()}
        name = plain.get(tag)
        begin(name if name is not None else _remember(plain, tag), attributes)

    def ended(tag: str) -> None:
        run[0] = 0
        end(plain.get(tag) or _plain(tag))

    def said(piece: str) -> None:
        run[0] += len(piece)
        if run[0] > limits.CELL_SIGNS:
            raise too_large(budget.name, _("a cell holds more than {n} signs").format(n=limits.CELL_SIGNS))
        text(piece)

    def refused(*_what: Any) -> Any:
        raise cannot_be_read(
            budget.name, _("it holds definitions (a DTD or entities) that no workbook needs")
        )

    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = begun, ended, said
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = parser.UnparsedEntityDeclHandler = refused
    parser.ExternalEntityRefHandler = refused
    try:
        _feed(parser, pieces, budget)
    except (expat.ExpatError, LookupError, UnicodeError, ValueError) as error:
        raise cannot_be_read(budget.name, _("a part of it is broken")) from error


def _feed(parser: expat.XMLParserType, pieces: Iterable[bytes], budget: Budget) -> None:
    fed = 0
    for piece in pieces:
        parser.Parse(piece, False)
        fed += len(piece)
        budget.bytes += len(piece)
        if fed - max(parser.CurrentByteIndex, 0) > _LONGEST_TAG:
            raise too_large(budget.name, _("an entry in it is longer than {n} signs").format(n=_LONGEST_TAG))
    parser.Parse(b"", True)


def _remember(known: dict[str, str], tag: str) -> str:
    if len(known) < _MOST_NAMES:
        known[tag] = _plain(tag)
    return _plain(tag)


def _plain(name: str) -> str:
    return name.rpartition(" ")[2]
