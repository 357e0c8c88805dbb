"""The tables, as named steps that are only ever appended: a step that has run is never edited.

One file per subject; the number in a step's name is its place in the list below.
Times are RFC 3339 text in UTC, documents are JSON as text, digests are ``sha256:`` and hexadecimals.
What must not change once written is guarded by triggers, not by good manners.
"""

from __future__ import annotations

import sqlite_utils
from sqlite_utils import Migrations

from buildsheet.storage.migrations import (
    approvals,
    bench,
    desk,
    founding,
    lookups,
    more_moves,
    moves,
    people,
    stock,
    watching,
    webhooks,
)

__all__ = ["migrate", "missing", "unknown"]

steps = Migrations("buildsheet")

for _name, _step in (
    *founding.STEPS,
    *desk.STEPS,
    *bench.STEPS,
    *stock.STEPS,
    *people.STEPS,
    *moves.STEPS,
    *webhooks.STEPS,
    *more_moves.STEPS,
    *watching.STEPS,
    *lookups.STEPS,
    *approvals.STEPS,
):
    steps(name=_name)(_step)


def missing(database: sqlite_utils.Database) -> list[str]:
    """The names of the steps that this file has not had yet."""
    return [step.name for step in steps.pending(database)]


def unknown(database: sqlite_utils.Database) -> list[str]:
    """The names of steps that this file has had and this program does not know."""
    known = {step.name for step in steps._migrations}  # noqa: SLF001 - the list has no public name
    return [step.name for step in steps.applied(database) if step.name not in known]


def migrate(database: sqlite_utils.Database) -> None:
    """Apply the missing steps. Must be called inside a write section: the library itself is not safe
    against two processes that start at once."""
    steps.apply(database)
