"""The first tables: editions, orders, wheels and their sheets, running numbers, events."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


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
    append_only(database, "editions")
    append_only(database, "edition_files")


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
    append_only(database, "order_revisions")
    append_only(database, "replies")


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
    append_only(database, "plans")


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
    append_only(database, "events")
    database.execute(
        """
        create table heartbeat (
            id integer not null primary key check (id = 1),
            at text not null
        ) strict
        """
    )


STEPS: tuple[Step, ...] = (
    ("0001 editions", _editions),
    ("0002 orders", _orders),
    ("0003 wheels", _wheels),
    ("0004 running numbers and events", _events),
)
