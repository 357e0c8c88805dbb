"""The tables of people and keys: who may do what, who is signed in, who tried too often.

No secret stands here: a password only as its argon2id text, keys and session numbers only as digests.
"""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step

_ROLES = "check (role in ('intake', 'builder', 'manager', 'owner'))"


def _people(database: sqlite_utils.Database) -> None:
    # ``name_key`` is the name folded: two current people never differ by case or spacing alone.
    database.execute(
        f"""
        create table people (
            id integer not null primary key,
            name text not null,
            name_key text not null,
            role text not null {_ROLES},
            password text not null,
            password_set_at text not null,
            added_at text not null,
            ended_at text
        ) strict
        """
    )
    database.execute(
        "create unique index people_by_name on people (name_key) where ended_at is null"
    )
    database.execute(
        f"""
        create table api_keys (
            prefix text not null primary key,
            name text not null,
            role text not null {_ROLES},
            source text,
            digest text not null,
            made_at text not null,
            revoked_at text
        ) strict
        """
    )
    database.execute(
        """
        create table sessions (
            digest text not null primary key,
            person_id integer not null references people (id),
            opened_at text not null,
            expires_at text not null
        ) strict
        """
    )
    # ``subject`` is a digest: a password that was typed in the place of a name is not kept in clear.
    database.execute(
        """
        create table sign_in_attempts (
            subject text not null,
            at text not null
        ) strict
        """
    )
    database.execute("create index sign_in_attempts_by_subject on sign_in_attempts (subject, at)")
    # Whoever was here stays on record, so that a closed door never opens by itself.
    for table in ("people", "api_keys"):
        database.execute(
            f"create trigger {table}_no_delete before delete on {table} "
            f"begin select raise(abort, '{table} are ended, never deleted'); end"
        )


STEPS: tuple[Step, ...] = (("0008 people", _people),)
