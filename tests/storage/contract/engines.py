"""The engines that keep the contract: how each is opened, and what it says of a broken rule."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Protocol

from sqlite_utils.utils import sqlite3

from buildsheet.storage.database import Database, Section


class Store(Protocol):
    """An open workshop: sections to read in, and sections that become true at once or not at all."""

    def reading(self) -> AbstractContextManager[Section]:
        """A section that sees one unchanging state."""

    def writing(self) -> AbstractContextManager[Section]:
        """A section that is durable on leaving it, or never was."""


@dataclass(frozen=True, slots=True)
class Engine:
    """``opened`` gives a new, empty workshop in a place of its own; ``broken_rule`` is what is raised where
    a key is taken, a reference leads nowhere, or something is edited that is only appended to."""

    opened: Callable[[Path], AbstractContextManager[Store]]
    broken_rule: type[Exception]


@contextmanager
def _embedded(place: Path) -> Iterator[Store]:
    database = Database(place / "workshop.db")
    yield database
    database.close()


ENGINES: Final[Mapping[str, Engine]] = {"sqlite": Engine(_embedded, sqlite3.IntegrityError)}
