"""The workshop a deed is done in: its file, its clock and its dice.

The command line and the service open one; tests hand in a clock that stands and dice that repeat.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from buildsheet.storage.database import Database

Clock = Callable[[], datetime]
Chance = Callable[[int], bytes]

DEFAULT_PATH: Final = Path("var/workshop.db")


def now() -> datetime:
    """This moment, in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class Workshop:
    """One workshop file with a clock and a source of chance."""

    database: Database
    clock: Clock = now
    chance: Chance = secrets.token_bytes

    @property
    def path(self) -> Path:
        """Where the workshop file is."""
        return self.database.path

    def close(self) -> None:
        """Give the file back."""
        self.database.close()


def open_workshop(
    path: Path,
    *,
    create: bool = True,
    clock: Clock = now,
    chance: Chance = secrets.token_bytes,
) -> Workshop:
    """The workshop in this file; ``create`` False refuses a file that is not there.

    Raises WorldError where the file cannot be opened.
    """
    return Workshop(Database(path, create=create), clock, chance)


def stamp(moment: datetime) -> str:
    """A moment as RFC 3339 text in UTC, to the millisecond.

    >>> stamp(datetime(2031, 5, 1, 8, 0, 0, 250000, tzinfo=UTC))
    '2031-05-01T08:00:00.250Z'
    """
    text = moment.astimezone(UTC).isoformat(timespec="milliseconds")
    return text.removesuffix("+00:00") + "Z"
