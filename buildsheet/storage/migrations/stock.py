"""The tables of the shelves: movements, the sums that follow from them, holds, posted lists."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _stock(database: sqlite_utils.Database) -> None:
    # Whatever happens on the shelves is a row here; every other figure is a sum of these.
    database.execute(
        """
        create table stock_movements (
            sequence integer not null primary key,
            at text not null,
            kind text not null check (kind in ('received', 'counted', 'expected', 'called-off',
                                               'held', 'released', 'picked', 'expired')),
            item text not null,
            shelf_change integer not null,
            held_change integer not null,
            expected_change integer not null,
            due_on text,
            hold integer,
            by text not null,
            reason text not null
        ) strict
        """
    )
    database.execute(
        "create index stock_movements_by_hold on stock_movements (hold) where hold is not null"
    )
    # The sums, kept by the section that appends: reading them costs a row for each item.
    database.execute(
        """
        create table stock_levels (
            item text not null primary key,
            shelf integer not null,
            held integer not null check (held >= 0),
            expected integer not null check (expected >= 0),
            bin text not null
        ) strict
        """
    )
    database.execute(
        """
        create table stock_holds (
            hold integer not null primary key,
            order_id text not null references orders (id),
            serial text not null,
            state text not null check (state in ('held', 'released', 'picked', 'expired')),
            held_at text not null,
            expires_at text,
            ended_at text
        ) strict
        """
    )
    database.execute("create index stock_holds_by_order on stock_holds (order_id)")
    # One wheel, one hold that counts.
    database.execute(
        "create unique index stock_holds_in_force on stock_holds (serial) where state = 'held'"
    )
    database.execute(
        "create index stock_holds_due on stock_holds (expires_at) where state = 'held'"
    )
    database.execute(
        """
        create table stock_postings (
            posting_key text not null primary key,
            body_digest text not null,
            answer text not null,
            posted_at text not null
        ) strict
        """
    )
    for table in ("stock_movements", "stock_postings"):
        append_only(database, table)


STEPS: tuple[Step, ...] = (("0007 stock", _stock),)
