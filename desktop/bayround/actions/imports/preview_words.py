"""A preview and the list of imports as people read them, in the window and on the command line."""

from __future__ import annotations

from dataclasses import dataclass

from bayround import words
from bayround.actions.imports import matching
from bayround.actions.imports.preview import Item, Kind, Need, Preview, State
from bayround.facts.kept import ImportBatch
from bayround.records.take_back import TakenBack
from bayround.words import _, counted


@dataclass(frozen=True, slots=True)
class Import:
    """An import as a list shows it; *number* counts from the oldest on and stays."""

    number: int
    batch: ImportBatch
    who: str

    @property
    def line(self) -> str:
        """One line about it."""
        one = self.batch
        told = _("{n}: {when} · {file} · {kind} · {rows}").format(
            n=self.number, when=words.moment(one.imported_at.astimezone()), file=one.file_name,
            kind=kind_words(Kind(one.kind)),
            rows=counted("{n} record or value", "{n} records and values", one.rows),
        )  # fmt: skip
        told += f" · {self.who}" if self.who else ""
        if one.taken_back_at is not None:
            told += " · " + _("taken back {when}").format(when=words.moment(one.taken_back_at.astimezone()))
        return told


def told(preview: Preview) -> tuple[str, ...]:
    """Return a preview's sums, one a state that occurs."""
    return tuple(f"{n} {state_word(state)}" for state in State if (n := preview.count(state)))


def item_line(item: Item) -> str:
    """Return one line of a preview."""
    what = " · ".join(text for text in (item.where, item.what) if text)
    return f"{what}: {item.why}" if item.why else what


def kind_words(kind: Kind) -> str:
    """Return what a kind of file is called."""
    return {
        Kind.WALK: _("Filled walk sheet"), Kind.READINGS: _("Numbers of marked plants"), Kind.PICKS: _("List of picks"),
        Kind.CLIMATE: _("Climate logger"),
    }[kind]  # fmt: skip


def state_word(state: State) -> str:
    """Return a state in one word."""
    return {
        State.NEW: _("new"), State.CHANGED: _("changed"), State.SAME: _("no change"), State.DOUBTFUL: _("doubtful"),
        State.REFUSED: _("refused"),
    }[state]  # fmt: skip


def asked(preview: Preview) -> tuple[str, ...]:
    """Return what a person has to say before the file can come in."""
    texts = {
        Need.KIND: _("It can't be seen what this file holds. Say its kind, then what its columns hold."),
        Need.DAY: _("On which day was this? Say the day of the walk."),
        Need.SCOUT: _("Who walked? Say the scout."),
        Need.HOUSE: _("In which house did the logger hang? Say the house."),
        Need.COLUMNS: _("Say what the columns hold."),
    }
    return tuple(texts[need] for need in preview.needs)


def remarks(preview: Preview) -> tuple[str, ...]:
    """Return how the file was read, and whether it came in before."""
    found = list(preview.notes)
    if preview.remembered:
        found.append(_("The columns are matched as the last time a file had these headings."))
    if preview.earlier is not None:
        found.append(
            _("This very file came in before, on {when}; nothing of it is doubled.").format(
                when=words.moment(preview.earlier.imported_at.astimezone())
            )
        )
    return tuple(found)


def taken_back_words(one: Import, done: TakenBack) -> str:
    """Return what taking an import back did."""
    parts = [
        counted("{n} record taken out", "{n} records taken out", done.removed),
        counted("{n} value set back", "{n} values set back", done.set_back),
    ]
    if done.stayed:
        parts.append(
            counted("{n} stays: it was changed since", "{n} stay: they were changed since", done.stayed)
        )
    said = _("Import {n} (“{file}”) is taken back: {what}. The history keeps what it said.")
    return said.format(n=one.number, file=one.batch.file_name, what=", ".join(parts))


label = matching.label
