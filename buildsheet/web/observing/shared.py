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

    Kept in memory where the machine offers that: a count must not wait for a disk.
    """
    given = os.environ.get("RUNTIME_DIRECTORY", "").partition(":")[0]  # as systemd names it
    places = [given] if given else [str(_IN_MEMORY)] if _IN_MEMORY.is_dir() else [None]
    with tempfile.TemporaryDirectory(prefix="buildsheet-counts-", dir=places[0]) as made:
        os.environ[VARIABLE] = made
        try:
            yield Path(made)
        finally:
            del os.environ[VARIABLE]


def directory_here() -> str | None:
    """The directory that this process keeps its counts in; None where it counts for itself alone."""
    return os.environ.get(VARIABLE)
