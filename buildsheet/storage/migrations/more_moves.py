"""The table of moves once more: an order is shipped and closed by moves that are kept like all others."""

from __future__ import annotations

import sqlite_utils

from buildsheet.storage.migrations.steps import Step, append_only


def _more_moves(database: sqlite_utils.Database) -> None:
    # What a column may hold cannot be widened in place: the rows go over into a table made anew.
    database.execute(
        """
        create table order_moves_anew (
            sequence integer not null primary key,
            order_id text not null references orders (id),
            revision integer not null,
            move text not null check (
                move in ('hold', 'approve', 'release', 'ship', 'close', 'cancel', 'change')
            ),
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
    database.execute(
        """
        insert into order_moves_anew
            (sequence, order_id, revision, move, move_key, body_digest, state_before, state_after,
             done_by, approved_by, reason, done_at, answer)
        select sequence, order_id, revision, move, move_key, body_digest, state_before, state_after,
               done_by, approved_by, reason, done_at, answer
        from order_moves
        """
    )
    database.execute("drop table order_moves")
    database.execute("alter table order_moves_anew rename to order_moves")
    database.execute("create index order_moves_by_order on order_moves (order_id, sequence)")
    append_only(database, "order_moves")


STEPS: tuple[Step, ...] = (("0012 more moves", _more_moves),)
