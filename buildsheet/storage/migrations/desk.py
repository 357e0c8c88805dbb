"""The tables of the product manager's desk: drafts, and the papers of editions."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _drafts(database: sqlite_utils.Database) -> None:
    # A draft is nothing but its history: it is open while the last row neither publishes nor discards
    # it, so there is one at a time. A version is never used again, whatever becomes of a draft.
    database.execute(
        """
        create table draft_edits (
            version integer not null primary key,
            draft integer not null references draft_edits (version),
            based_on integer not null references editions (number),
            changed_at text not null,
            changed_by text not null,
            deed text not null check (deed in ('begun', 'edited', 'carried', 'published', 'discarded')),
            what text not null
        ) strict
        """
    )
    # Only the files that an edit changed; an empty body is a file that was taken out.
    database.execute(
        """
        create table draft_files (
            version integer not null references draft_edits (version),
            name text not null,
            body text,
            primary key (name, version)
        ) strict
        """
    )
    database.execute(
        """
        create table edition_papers (
            edition integer not null primary key references editions (number),
            kind text not null check (kind in ('founding', 'published', 'rolled-back')),
            author text not null,
            approver text,
            reason text not null,
            based_on integer references editions (number),
            equal_to integer references editions (number),
            published_at text not null
        ) strict
        """
    )
    for table in ("draft_edits", "draft_files", "edition_papers"):
        append_only(database, table)


STEPS: tuple[Step, ...] = (("0005 drafts and edition papers", _drafts),)
