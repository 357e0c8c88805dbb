"""Questions that only an audit asks: gaps, strays, sums of what was handed out. Nothing is written."""

from __future__ import annotations

from typing import Final

from buildsheet.storage.database import Section

COUNTED: Final = (
    "events",
    "order_moves",
    "bench_steps",
    "gauge_checks",
    "wheel_batches",
    "stock_movements",
)
"""Tables whose sequence counts 1, 2, 3 ... without a gap: a number is given back with its section."""


def gaps(section: Section, table: str) -> tuple[tuple[int, int], ...]:
    """(first, last) of every run of numbers that is missing from 1 up to the highest one."""
    if table not in COUNTED:
        raise LookupError(table)
    rows = section.rows(
        f"""
        select before + 1, sequence - 1 from (
            select sequence, lag(sequence, 1, 0) over (order by sequence) as before from {table}
        ) as numbered where sequence <> before + 1 order by sequence
        """  # noqa: S608 - one of the names above
    )
    return tuple((int(first), int(last)) for first, last in rows)


def not_one_in_force(section: Section) -> tuple[tuple[str, int], ...]:
    """(serial, sheets in force) of every wheel that has none or several."""
    rows = section.rows(
        """
        select wheels.serial, count(sheets.code) from wheels
        left join sheets on sheets.serial = wheels.serial and sheets.void_at is null
        group by wheels.serial having count(sheets.code) <> 1 order by wheels.serial
        """
    )
    return tuple((str(serial), int(count)) for serial, count in rows)


def strays(section: Section) -> tuple[tuple[str, str, str], ...]:
    """(thing, its name, what it lacks): what no foreign key guards."""
    rows = section.rows(
        """
        select 'edition', cast(number as text), 'its files' from editions
            where number not in (select edition from edition_files)
        union all select 'order', id, 'the revision that counts' from orders
            where not exists (select 1 from order_revisions where order_id = orders.id
                              and revision = orders.revision)
        union all select 'order', id, 'a wheel' from orders
            where id not in (select order_id from wheels)
        union all select 'plan', digest, 'a wheel' from plans
            where digest not in (select plan_digest from sheets)
            and digest not in (select plan_digest from revision_plans)
        union all select 'sheet', code, 'the revision it was issued for' from sheets
            where not exists (
                select 1 from order_revisions join wheels on wheels.order_id = order_revisions.order_id
                where wheels.serial = sheets.serial and order_revisions.revision = sheets.revision)
        union all select 'event', cast(sequence as text), 'its order' from events
            where order_id is not null and order_id not in (select id from orders)
        union all select 'event', cast(sequence as text), 'its wheel' from events
            where serial is not null and serial not in (select serial from wheels)
        union all select 'hold', cast(hold as text), 'its wheel' from stock_holds
            where serial not in (select serial from wheels)
        union all select 'movement', cast(sequence as text), 'its hold' from stock_movements
            where hold is not null and hold not in (select hold from stock_holds)
        order by 1, 2, 3
        """
    )
    return tuple((str(thing), str(name), str(lacks)) for thing, name, lacks in rows)


def handed_out(section: Section) -> tuple[tuple[str, int, int], ...]:
    """(kind, year, last number given) of every running number."""
    rows = section.rows("select kind, year, last from allotments order by kind, year")
    return tuple((str(kind), int(year), int(last)) for kind, year, last in rows)


def numbered_alike(section: Section, beginning: str) -> int:
    """How many orders and wheels have a number that begins so: ``W31-``."""
    # As a range, which every engine finds by its index; what `like` means differs from one to another.
    ends = beginning[:-1] + chr(ord(beginning[-1]) + 1)
    return int(
        section.one(
            """
            select (select count(*) from orders where id >= ? and id < ?)
                 + (select count(*) from wheels where serial >= ? and serial < ?)
            """,
            beginning,
            ends,
            beginning,
            ends,
        )[0]
    )


def holds_not_ended(section: Section) -> tuple[tuple[int, str, int], ...]:
    """(hold, state, pieces) of every ended hold whose movements still hold pieces."""
    rows = section.rows(
        """
        select stock_holds.hold, state, sum(held_change) from stock_holds
        join stock_movements on stock_movements.hold = stock_holds.hold
        where state <> 'held' group by stock_holds.hold, state having sum(held_change) <> 0
        order by stock_holds.hold
        """
    )
    return tuple((int(hold), str(state), int(pieces)) for hold, state, pieces in rows)


def plan_digests(section: Section) -> tuple[str, ...]:
    """The digests that plans are kept under."""
    return tuple(str(row[0]) for row in section.rows("select digest from plans order by digest"))


def revisions(section: Section) -> tuple[tuple[str, int], ...]:
    """(order, revision) of all that was ever taken."""
    rows = section.rows("select order_id, revision from order_revisions order by 1, 2")
    return tuple((str(order_id), int(revision)) for order_id, revision in rows)


def printed(section: Section) -> tuple[tuple[str, str, str, str], ...]:
    """(serial, issue, fingerprint, plan digest) of every sheet."""
    rows = section.rows(
        "select serial, issue, fingerprint, plan_digest from sheets order by serial, issued_at, issue"
    )
    return tuple((str(a), str(b), str(c), str(d)) for a, b, c, d in rows)


def other_replies(section: Section) -> tuple[tuple[str, str], ...]:
    """(source, key) of every reply whose digest is not that of the order it refers to."""
    rows = section.rows(
        """
        select replies.source, idempotency_key from replies
        join order_revisions on order_revisions.order_id = replies.order_id
            and order_revisions.revision = replies.revision
        where order_revisions.body_digest <> replies.body_digest order by 1, 2
        """
    )
    return tuple((str(source), str(key)) for source, key in rows)


def at_the_bench(section: Section) -> tuple[str, ...]:
    """Serials of every wheel that something was done to at the bench."""
    rows = section.rows(
        "select serial from bench_steps union select serial from bench_passes order by serial"
    )
    return tuple(str(row[0]) for row in rows)


def told_of_passes(section: Section) -> tuple[tuple[str, str, str], ...]:
    """(kind, serial, facts) of every event about a pass that was read or signed."""
    rows = section.rows(
        """
        select kind, serial, facts from events where kind in ('wheel.read', 'wheel.inspected')
        order by sequence
        """
    )
    return tuple((str(kind), str(serial), str(facts)) for kind, serial, facts in rows)


def told_to_nobody(section: Section) -> tuple[str, ...]:
    """Receivers that are said to have events which never happened."""
    rows = section.rows(
        """
        select name from webhook_progress
        where sent_to > (select coalesce(max(sequence), 0) from events) order by name
        """
    )
    return tuple(str(row[0]) for row in rows)
