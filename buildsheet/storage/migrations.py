"""The tables, as named steps that are only ever appended: a step that has run is never edited.

Times are RFC 3339 text in UTC, documents are JSON as text, digests are ``sha256:`` and hexadecimals.
What must not change once written is guarded by triggers, not by good manners.
"""

from __future__ import annotations

import sqlite_utils
from sqlite_utils import Migrations

steps = Migrations("buildsheet")


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


def _append_only(database: sqlite_utils.Database, table: str) -> None:
    for deed in ("update", "delete"):
        database.execute(
            f"create trigger {table}_no_{deed} before {deed} on {table} "
            f"begin select raise(abort, '{table} is only appended to'); end"
        )


@steps(name="0001 editions")
def _editions(database: sqlite_utils.Database) -> None:
    database.execute(
        """
        create table editions (
            number integer not null primary key,
            digest text not null unique,
            starts text not null,
            loaded_at text not null
        ) strict
        """
    )
    database.execute(
        """
        create table edition_files (
            edition integer not null references editions (number),
            name text not null,
            body text not null,
            primary key (edition, name)
        ) strict
        """
    )
    _append_only(database, "editions")
    _append_only(database, "edition_files")


@steps(name="0002 orders")
def _orders(database: sqlite_utils.Database) -> None:
    database.execute(
        """
        create table orders (
            id text not null primary key,
            source text not null,
            number text not null,
            revision integer not null,
            state text not null,
            taken_at text not null,
            unique (source, number)
        ) strict
        """
    )
    database.execute("create index orders_by_number on orders (number)")
    # The business key of the interfaces is unique by itself: a restarted sender never orders twice.
    database.execute(
        """
        create table order_revisions (
            order_id text not null references orders (id),
            revision integer not null,
            source text not null,
            number text not null,
            edition integer not null references editions (number),
            body_digest text not null,
            document text not null,
            answer text not null,
            taken_at text not null,
            primary key (order_id, revision),
            unique (source, number, revision)
        ) strict
        """
    )
    database.execute(
        """
        create table replies (
            source text not null,
            idempotency_key text not null,
            body_digest text not null,
            order_id text not null,
            revision integer not null,
            kept_at text not null,
            primary key (source, idempotency_key),
            foreign key (order_id, revision) references order_revisions (order_id, revision)
        ) strict
        """
    )
    _append_only(database, "order_revisions")
    _append_only(database, "replies")


@steps(name="0003 wheels")
def _wheels(database: sqlite_utils.Database) -> None:
    # Equal wheels share one plan: a workshop builds the same wheel many times.
    database.execute(
        """
        create table plans (
            digest text not null primary key,
            title text not null,
            document text not null,
            record text not null
        ) strict
        """
    )
    database.execute(
        """
        create table wheels (
            serial text not null primary key,
            order_id text not null references orders (id),
            position text not null,
            state text not null,
            allotted_at text not null,
            unique (order_id, position)
        ) strict
        """
    )
    database.execute(
        """
        create table sheets (
            code text not null primary key,
            serial text not null references wheels (serial),
            issue text not null,
            revision integer not null,
            edition integer not null references editions (number),
            fingerprint text not null,
            plan_digest text not null references plans (digest),
            issued_at text not null,
            void_at text,
            void_because text,
            unique (serial, issue)
        ) strict
        """
    )
    # One wheel, one sheet that counts.
    database.execute("create unique index sheets_in_force on sheets (serial) where void_at is null")
    _append_only(database, "plans")


@steps(name="0004 running numbers and events")
def _events(database: sqlite_utils.Database) -> None:
    database.execute(
        """
        create table allotments (
            kind text not null,
            year integer not null,
            last integer not null,
            primary key (kind, year)
        ) strict
        """
    )
    database.execute(
        """
        create table events (
            sequence integer not null primary key,
            at text not null,
            kind text not null,
            order_id text,
            serial text,
            facts text not null
        ) strict
        """
    )
    _append_only(database, "events")
    database.execute(
        """
        create table heartbeat (
            id integer not null primary key check (id = 1),
            at text not null
        ) strict
        """
    )


@steps(name="0005 drafts and edition papers")
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
        _append_only(database, table)
