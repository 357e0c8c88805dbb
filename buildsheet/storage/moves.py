"""What was done to an order (held, approved, released, changed, cancelled), by whom and why; appended."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredMove:
    """One move of one order; ``answer`` is JSON text as it was answered."""

    order_id: str
    revision: int
    move: str
    key: str | None
    body_digest: str
    before: str
    after: str
    done_by: str
    approved_by: str | None
    reason: str
    done_at: str
    answer: str


@dataclass(frozen=True, slots=True)
class Restart:
    """A wheel that is made over, in part or whole: of its first ``steps`` steps only those at the
    stations in ``keeps`` still count; ``passes`` are how many passes it had then."""

    serial: str
    keeps: tuple[str, ...]
    steps: int
    passes: int
    restarted_at: str


_MOVE = """
    select order_id, revision, move, move_key, body_digest, state_before, state_after, done_by,
           approved_by, reason, done_at, answer
    from order_moves
"""


def insert(section: Section, move: StoredMove) -> None:
    """Append a move; its key, where it has one, is unique within the order."""
    section.run(
        """
        insert into order_moves
            (sequence, order_id, revision, move, move_key, body_digest, state_before, state_after,
             done_by, approved_by, reason, done_at, answer)
        select coalesce(max(sequence), 0) + 1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ? from order_moves
        """,
        move.order_id,
        move.revision,
        move.move,
        move.key,
        move.body_digest,
        move.before,
        move.after,
        move.done_by,
        move.approved_by,
        move.reason,
        move.done_at,
        move.answer,
    )


def of_order(section: Section, order_id: str) -> tuple[StoredMove, ...]:
    """Every move of an order, oldest first."""
    rows = section.rows(_MOVE + "where order_id = ? order by sequence", order_id)
    return tuple(StoredMove(*row) for row in rows)


def by_key(section: Section, order_id: str, key: str) -> StoredMove | None:
    """The move that was asked for with this key."""
    row = section.row(_MOVE + "where order_id = ? and move_key = ?", order_id, key)
    return StoredMove(*row) if row else None


def change_to(section: Section, order_id: str, revision: int) -> StoredMove | None:
    """The change that made this revision."""
    row = section.row(
        _MOVE + "where order_id = ? and revision = ? and move = 'change'", order_id, revision
    )
    return StoredMove(*row) if row else None


def newest_approval(section: Section, order_id: str) -> StoredMove | None:
    """The last time that somebody put a name and a reason to this order."""
    row = section.row(
        _MOVE + "where order_id = ? and move = 'approve' order by sequence desc limit 1", order_id
    )
    return StoredMove(*row) if row else None


def keep_plans(section: Section, order_id: str, revision: int, plans: Mapping[str, str]) -> None:
    """Remember the digests of a revision's plans by position; those that are kept stay as they are."""
    for position, digest in plans.items():
        section.run(
            """
            insert into revision_plans (order_id, revision, position, plan_digest)
            values (?, ?, ?, ?) on conflict (order_id, revision, position) do nothing
            """,
            order_id,
            revision,
            position,
            digest,
        )


def restart(section: Section, restarted: Restart) -> None:
    """Append that a wheel is made over."""
    section.run(
        """
        insert into wheel_restarts (serial, number, keeps, steps, passes, restarted_at)
        select ?, coalesce(max(number), 0) + 1, ?, ?, ?, ? from wheel_restarts where serial = ?
        """,
        restarted.serial,
        " ".join(restarted.keeps),
        restarted.steps,
        restarted.passes,
        restarted.restarted_at,
        restarted.serial,
    )


def restarts_of(section: Section, serial: str) -> tuple[Restart, ...]:
    """Every time that a wheel was made over, oldest first."""
    rows = section.rows(
        """
        select serial, keeps, steps, passes, restarted_at from wheel_restarts
        where serial = ? order by number
        """,
        serial,
    )
    return tuple(
        Restart(str(serial), tuple(str(keeps).split()), int(steps), int(passes), str(at))
        for serial, keeps, steps, passes, at in rows
    )


def stock_kept_since(section: Section) -> str | None:
    """When the first thing was counted or came in; None in a workshop that keeps no stock."""
    row = section.row("select at from stock_movements order by sequence limit 1")
    return str(row[0]) if row else None
