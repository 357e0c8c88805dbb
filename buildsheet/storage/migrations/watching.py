"""A fifth role for keys alone: one that reads the figures of the service and nothing else."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step


def _watching(database: sqlite_utils.Database) -> None:
    # The engine has no way to change a check: the table is made anew around its rows.
    database.execute(
        """
        create table keys_with_watch (
            prefix text not null primary key,
            name text not null,
            role text not null check (role in ('intake', 'builder', 'manager', 'owner', 'watch')),
            source text,
            digest text not null,
            made_at text not null,
            revoked_at text
        ) strict
        """
    )
    database.execute(
        """
        insert into keys_with_watch (prefix, name, role, source, digest, made_at, revoked_at)
        select prefix, name, role, source, digest, made_at, revoked_at from api_keys order by rowid
        """
    )
    database.execute("drop table api_keys")
    database.execute("alter table keys_with_watch rename to api_keys")
    database.execute(
        "create trigger api_keys_no_delete before delete on api_keys "
        "begin select raise(abort, 'api_keys are ended, never deleted'); end"
    )


STEPS: tuple[Step, ...] = (("0013 watching", _watching),)
