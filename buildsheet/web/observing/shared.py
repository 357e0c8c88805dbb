"""The directory in which the workers of one service keep their counts, for whichever is scraped.

Each worker maps files of its own there; whoever is asked adds all of them up. The counts of a worker that
died stay in the sums. They belong to one run of the service and go with it.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
"""Where the counting library looks, once, when it is imported."""

_IN_MEMORY: Final = Path("/dev/shm")  # noqa: S108 - a directory with a name of its own is made in it


@contextmanager
def shared_counts() -> Iterator[Path]:
    """The directory, for the time of one service; workers started meanwhile find it.

    Kept in memory where the machine offers that: a count must not wait for a disk. To be asked before the
    counting library is imported.
    """
    with tempfile.TemporaryDirectory(prefix="buildsheet-counts-", dir=_place()) as made:
        os.environ[VARIABLE] = made
        try:
            yield Path(made)
        finally:
            del os.environ[VARIABLE]


def _place() -> str | None:
    """The first that may be written of what systemd gives to a service, memory, and the usual place."""
    given = os.environ.get("RUNTIME_DIRECTORY", "").partition(":")[0]
    places = (place for place in (given, str(_IN_MEMORY)) if place)
    return next((place for place in places if os.access(place, os.W_OK | os.X_OK)), None)


def directory_here() -> str | None:
    """The directory that this process keeps its counts in; None where it counts for itself alone."""
    return os.environ.get(VARIABLE)
