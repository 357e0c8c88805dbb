"""What a step is, and what steps share."""

from __future__ import annotations

from collections.abc import Callable

import sqlite_utils

Step = tuple[str, Callable[[sqlite_utils.Database], None]]
"""A name that begins with the step's number, and what it does to the file."""


def append_only(database: sqlite_utils.Database, table: str) -> None:
    """Guard a table by triggers: what was written stays as it was written."""
    for deed in ("update", "delete"):
        database.execute(
            f"create trigger {table}_no_{deed} before {deed} on {table} "
            f"begin select raise(abort, '{table} is only appended to'); end"
        )
