"""Orders, their revisions, and what was answered, so that a repeated post gets the first answer."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from buildsheet.storage.database import Row, Section


@dataclass(frozen=True, slots=True)
class StoredOrder:
    """One order in one revision. ``document`` and ``answer`` are JSON text as first taken; ``state``
    is where the order stands now, ``current`` whether this revision is the one that counts."""

    id: str
    source: str
    number: str
    revision: int
    state: str
    edition: int
    body_digest: str
    document: str
    answer: str
    taken_at: str
    current: bool


@dataclass(frozen=True, slots=True)
class Reply:
    """What an idempotency key was used for."""

    body_digest: str
    order_id: str
    revision: int


_SELECT = """
    select orders.id, orders.source, orders.number, order_revisions.revision, orders.state,
           order_revisions.edition, order_revisions.body_digest, order_revisions.document,
           order_revisions.answer, order_revisions.taken_at,
           orders.revision = order_revisions.revision
    from order_revisions join orders on orders.id = order_revisions.order_id
"""

_AFTER_ALL: Final = "B"
"""Comes after every order: their numbers begin with an A."""


_NAMES = "select source, number from orders where number in "


def insert(section: Section, new: Sequence[StoredOrder]) -> None:
    """Store new orders with their first revision."""
    section.insert(
        "insert into orders (id, source, number, revision, state, taken_at) values",
        [
            (order.id, order.source, order.number, order.revision, order.state, order.taken_at)
            for order in new
        ],
    )
    _insert_revisions(section, new)


def revise(section: Section, order: StoredOrder) -> None:
    """Store a further revision of an order, which is the one that counts from now on."""
    section.run(
        "update orders set revision = ?, state = ? where id = ?",
        order.revision,
        order.state,
        order.id,
    )
    _insert_revisions(section, [order])


def move(section: Section, order_id: str, state: str) -> None:
    """Put an order into another state."""
    section.run("update orders set state = ? where id = ?", state, order_id)


def _insert_revisions(section: Section, new: Sequence[StoredOrder]) -> None:
    section.insert(
        """
        insert into order_revisions
            (order_id, revision, source, number, edition, body_digest, document, answer, taken_at)
        values
        """,
        [
            (
                order.id,
                order.revision,
                order.source,
                order.number,
                order.edition,
                order.body_digest,
                order.document,
                order.answer,
                order.taken_at,
            )
            for order in new
        ],
    )


def taken(section: Section, numbers: Collection[str]) -> set[tuple[str, str]]:
    """Source and number of every order that is called by one of these numbers."""
    rows = section.rows(_NAMES + f"({', '.join('?' * len(numbers))})", *numbers)
    return {(str(source), str(number)) for source, number in rows}


def keep_reply(section: Section, source: str, key: str, reply: Reply, kept_at: str) -> None:
    """Remember what a source's idempotency key was used for; a key already kept stays as it is."""
    section.run(
        """
        insert into replies (source, idempotency_key, body_digest, order_id, revision, kept_at)
        values (?, ?, ?, ?, ?, ?) on conflict (source, idempotency_key) do nothing
        """,
        source,
        key,
        reply.body_digest,
        reply.order_id,
        reply.revision,
        kept_at,
    )


def reply_to(section: Section, source: str, key: str) -> Reply | None:
    """What this idempotency key of this source was used for."""
    row = section.row(
        """
        select body_digest, order_id, revision from replies
        where source = ? and idempotency_key = ?
        """,
        source,
        key,
    )
    return Reply(*row) if row else None


def by_id(section: Section, order_id: str, revision: int | None = None) -> StoredOrder | None:
    """An order by the workshop's own number: the revision that counts, or the one asked for."""
    if revision is None:
        row = section.row(
            _SELECT + "where orders.id = ? and order_revisions.revision = orders.revision", order_id
        )
    else:
        row = section.row(
            _SELECT + "where orders.id = ? and order_revisions.revision = ?", order_id, revision
        )
    return _order(row) if row else None


def by_number(section: Section, source: str, number: str) -> StoredOrder | None:
    """The revision that counts of an order, by the sender's name and number."""
    row = section.row(
        _SELECT
        + """where orders.source = ? and orders.number = ?
             and order_revisions.revision = orders.revision""",
        source,
        number,
    )
    return _order(row) if row else None


def by_business_key(
    section: Section, source: str, number: str, revision: int
) -> StoredOrder | None:
    """An order by source, number and revision."""
    row = section.row(
        _SELECT
        + """where order_revisions.source = ? and order_revisions.number = ?
             and order_revisions.revision = ?""",
        source,
        number,
        revision,
    )
    return _order(row) if row else None


def numbered(section: Section, number: str) -> tuple[StoredOrder, ...]:
    """The orders that any sender called by this number, in the revision that counts."""
    rows = section.rows(
        _SELECT
        + """where orders.number = ? and order_revisions.revision = orders.revision
             order by orders.id""",
        number,
    )
    return tuple(_order(row) for row in rows)


def latest(
    section: Section, limit: int, before: str | None = None, source: str | None = None
) -> tuple[StoredOrder, ...]:
    """Orders in the revision that counts, the newest first; ``before`` an order id, for the next page,
    ``source`` the one sender whose orders are wanted."""
    whose = "" if source is None else "and orders.source = ? "
    rows = section.rows(
        _SELECT
        + "where order_revisions.revision = orders.revision and orders.id < ? "
        + whose
        + "order by orders.id desc limit ?",
        before or _AFTER_ALL,
        *(() if source is None else (source,)),
        limit,
    )
    return tuple(_order(row) for row in rows)


def standing(section: Section) -> tuple[StoredOrder, ...]:
    """Every order in the revision that counts that is neither shipped, closed nor cancelled, the oldest
    first."""
    # The states are written out, as the index `orders_open` says them.
    rows = section.rows(
        _SELECT
        + """where order_revisions.revision = orders.revision
              and orders.state not in ('shipped', 'closed', 'cancelled')
              order by orders.id"""
    )
    return tuple(_order(row) for row in rows)


def _order(row: Row) -> StoredOrder:
    current = bool(row[-1])
    return StoredOrder(*(*row[:-1], current))
