"""The tables of moves: what was done to an order and why, what a revision's plans are, new starts."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _moves(database: sqlite_utils.Database) -> None:
    database.execute(
        """
        create table order_moves (
            sequence integer not null primary key,
            order_id text not null references orders (id),
            revision integer not null,
            move text not null check (move in ('hold', 'approve', 'release', 'cancel', 'change')),
            move_key text,
            body_digest text not null,
            state_before text not null,
            state_after text not null,
            done_by text not null,
            approved_by text,
            reason text not null,
            done_at text not null,
            answer text not null,
            unique (order_id, move_key)
        ) strict
        """
    )
    database.execute("create index order_moves_by_order on order_moves (order_id, sequence)")
    # A revision that makes no new issue still has its own plans (another decal set): they are kept
    # here, so that what an earlier revision was answered can be answered again.
    database.execute(
        """
        create table revision_plans (
            order_id text not null,
            revision integer not null,
            position text not null,
            plan_digest text not null references plans (digest),
            primary key (order_id, revision, position),
            foreign key (order_id, revision) references order_revisions (order_id, revision)
        ) strict
        """
    )
    # The wheel is made over: of its first ``steps`` steps only those at the stations of ``keeps`` still
    # count, of its first ``passes`` passes none unless ``keeps`` says so.
    database.execute(
        """
        create table wheel_restarts (
            serial text not null references wheels (serial),
            number integer not null,
            keeps text not null,
            steps integer not null,
            passes integer not null,
            restarted_at text not null,
            primary key (serial, number)
        ) strict
        """
    )
    for table in ("order_moves", "revision_plans", "wheel_restarts"):
        append_only(database, table)


STEPS: tuple[Step, ...] = (("0009 moves", _moves),)
