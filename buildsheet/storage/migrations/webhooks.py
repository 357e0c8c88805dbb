"""The tables of webhooks: who is told of events, how far each got, and every attempt that failed."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _webhooks(database: sqlite_utils.Database) -> None:
    database.execute(
        """
        create table webhooks (
            name text not null primary key,
            url text not null,
            secret text not null,
            starts_after integer not null,
            added_by text not null,
            added_at text not null
        ) strict
        """
    )
    append_only(database, "webhooks")
    # Where each stands: the last event that its receiver has, failures since then, when to try again.
    database.execute(
        """
        create table webhook_progress (
            name text not null primary key references webhooks (name),
            sent_to integer not null,
            failures integer not null,
            next_at text not null,
            trouble text not null,
            ended_at text,
            ended_by text
        ) strict
        """
    )


STEPS: tuple[Step, ...] = (("0010 webhooks", _webhooks),)
