"""An open farm file: transactions, one at a time."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, Engine, select, update

from bayround.facts.farm import FarmInfo
from bayround.facts.problems import FarmFileProblem
from bayround.facts.server_address import FarmPlace
from bayround.records import problems, tables
from bayround.records.codec import facts_of, kind_of, select_facts
from bayround.words import _

WRITES = "bayround_writes"  # execution option: this transaction takes the right to write at once


class Store:
    """An open farm. Any thread may use it, one at a time; others wait for their turn.

    Attributes:
        path: the farm file.
        read_only: nothing can be written through this store.
    """

    def __init__(
        self, engine: Engine, path: Path, *, read_only: bool, when_closed: Callable[[], None]
    ) -> None:
        self.path = path
        self.read_only = read_only
        self._engine = engine
        self._when_closed = when_closed
        self._turn = threading.Lock()
        self._holder: int | None = None
        self._open = True

    @property
    def place(self) -> FarmPlace:
        """Where the farm is kept."""
        return self.path

    @property
    def name(self) -> str:
        """The farm's place in short, as it is shown to people; it holds no secret."""
        return self.path.name

    @property
    def shared(self) -> bool:
        """Whether other people may write to the farm while it is open here."""
        return False

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Read in one transaction: everything seen is of one moment.

        Raises:
            FarmFileProblem: when the file can't be read.
        """
        with self._transaction(writes=False) as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Write in one transaction: all of it or nothing. Counts the farm's revision up by one.

        Raises:
            FarmFileProblem: when the file can't be written; nothing of the step was kept.
            Refused: when a value breaks a rule of the tables; nothing of the step was kept.
        """
        if self.read_only:
            raise self._read_only_problem()
        with self._transaction(writes=True) as connection:
            self._count_up(connection)
            yield connection

    def _read_only_problem(self) -> FarmFileProblem:
        return FarmFileProblem(
            _("“{name}” was opened for reading only.").format(name=self.name),
            _("Nothing was changed."),
            _("Open it for writing."),
        )

    def _count_up(self, connection: Connection) -> None:
        connection.execute(update(tables.farm).values(revision=tables.farm.c.revision + 1))

    @contextmanager
    def _transaction(self, *, writes: bool) -> Iterator[Connection]:
        with self._my_turn(), problems.database_in_words(self.path), self._engine.connect() as plain:
            connection = plain.execution_options(**{WRITES: writes})
            with connection.begin():
                yield connection

    @contextmanager
    def _my_turn(self) -> Iterator[None]:
        if self._holder == threading.get_ident():
            raise RuntimeError("a transaction inside a transaction")
        with self._turn:
            if not self._open:
                raise RuntimeError("the farm file is closed")
            self._holder = threading.get_ident()
            try:
                yield
            finally:
                self._holder = None

    def info(self) -> FarmInfo:
        """Return the farm's own record."""
        kind = kind_of(FarmInfo)
        with self.reading() as connection:
            return facts_of(kind, connection.execute(select_facts(kind)))[0]

    def close(self) -> None:
        """Let go of the file; closing twice does no harm."""
        with self._turn:
            if self._open:
                self._open = False
                self._engine.dispose()
                self._when_closed()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def read_revision(connection: Connection) -> int:
    """Return how often the farm was written to."""
    found: int = connection.execute(select(tables.farm.c.revision)).scalar_one()
    return found
