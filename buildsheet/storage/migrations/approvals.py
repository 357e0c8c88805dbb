"""The table of approvals: who looked at what two people have to answer for, and stood for it."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _approvals(database: sqlite_utils.Database) -> None:
    # What was approved is named by what it was: a version of the draft, or an edition over another one.
    # Both names are never used again for anything else, so an approval of the past approves nothing new.
    database.execute(
        """
        create table approvals (
            subject text not null,
            approved_by text not null,
            approved_at text not null,
            primary key (subject, approved_by)
        ) strict
        """
    )
    append_only(database, "approvals")


STEPS: tuple[Step, ...] = (("0015 approvals", _approvals),)
