"""The shelves: movements that are only appended, the sums that follow from them, and holds.

Free is what lies on the shelf less what is held. `append` keeps the sums in the same section, so they
are never seen apart from the movements; `sums` adds the movements up again for whoever doubts.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Final, NamedTuple

from buildsheet.storage.database import Section


class Movement(NamedTuple):
    """One thing that happened to one item. Changes are signed; ``bin`` '' leaves the place as it was.

    ``due_on`` is the day an expected delivery comes, ``hold`` the hold that the movement is of,
    ``reason`` one of its own instead of that of all that are appended together.
    """

    kind: str
    item: str
    shelf_change: int = 0
    held_change: int = 0
    expected_change: int = 0
    due_on: str | None = None
    hold: int | None = None
    bin: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """The sums of one item. ``shelf`` may fall below ``held``, and below nothing, where a count was
    wrong: what people do with their hands is recorded as it is."""

    item: str
    shelf: int
    held: int
    expected: int
    bin: str

    @property
    def free(self) -> int:
        """What may still be promised."""
        return self.shelf - self.held


@dataclass(frozen=True, slots=True)
class StoredMovement:
    """A movement as it stands in the record."""

    sequence: int
    at: str
    kind: str
    item: str
    shelf_change: int
    held_change: int
    expected_change: int
    due_on: str | None
    hold: int | None
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class NewHold:
    """A hold to be opened for a wheel: item -> pieces. ``expires_at`` None: for as long as it takes."""

    order_id: str
    serial: str
    expires_at: str | None
    picked: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class StoredHold:
    """Parts set aside for one wheel. ``expires_at`` None: for as long as it takes."""

    hold: int
    order_id: str
    serial: str
    state: str
    held_at: str
    expires_at: str | None
    ended_at: str | None


@dataclass(frozen=True, slots=True)
class StoredPosting:
    """What a posted list of movements was answered."""

    body_digest: str
    answer: str


_OF_HOLDS: Final = frozenset({"held", "released", "expired"})
"""Kinds of movements that change nothing but what is held."""

_LEVEL = "select item, shelf, held, expected, bin from stock_levels "
_FREE = "select item, shelf - held from stock_levels "
_HOLD = "select hold, order_id, serial, state, held_at, expires_at, ended_at from stock_holds "


_NEW_MOVEMENT: Final = """
    insert into stock_movements
        (sequence, at, kind, item, shelf_change, held_change, expected_change, due_on, hold, by, reason)
    values
"""


def kept(section: Section) -> bool:
    """Whether this workshop keeps stock at all: something was counted or came in."""
    return section.row("select 1 from stock_levels limit 1") is not None


def append(
    section: Section, movements: Sequence[Movement], *, at: str, by: str, reason: str = ""
) -> int:
    """Append movements and keep the sums; the sequence number of the last one.

    Write sections follow one another, so numbers have no gaps.
    """
    last = _last_movement(section)
    section.insert(
        _NEW_MOVEMENT,
        [
            (
                number,
                at,
                each.kind,
                each.item,
                each.shelf_change,
                each.held_change,
                each.expected_change,
                each.due_on,
                each.hold,
                by,
                each.reason or reason,
            )
            for number, each in enumerate(movements, start=last + 1)
        ],
    )
    # Nothing is held of an article that was never moved: only the other kinds bring new ones.
    new = {each.item for each in movements if each.kind not in _OF_HOLDS}
    if new:
        section.insert(
            "insert into stock_levels (item, shelf, held, expected, bin) values",
            [(item, 0, 0, 0, "") for item in sorted(new)],
            "on conflict (item) do nothing",
        )
    _add_up(section, last)
    for each in movements:
        if each.bin:
            section.run("update stock_levels set bin = ? where item = ?", each.bin, each.item)
    return last + len(movements)


def set_aside(section: Section, new: Sequence[NewHold], *, at: str, by: str) -> None:
    """Open holds, and append what each of them takes from the shelves, with its order for a reason."""
    hold = int(section.one("select coalesce(max(hold), 0) + 1 from stock_holds")[0])
    numbered = list(enumerate(new, start=hold))
    section.insert(
        "insert into stock_holds (hold, order_id, serial, state, held_at, expires_at) values",
        [(number, each.order_id, each.serial, at, each.expires_at) for number, each in numbered],
        row="(?, ?, ?, 'held', ?, ?)",
    )
    last = _last_movement(section)
    sequence = count(last + 1)
    section.insert(
        _NEW_MOVEMENT,
        [
            (next(sequence), at, item, pieces, number, by, each.order_id)
            for number, each in numbered
            for item, pieces in each.picked.items()
        ],
        row="(?, ?, 'held', ?, 0, ?, 0, null, ?, ?, ?)",
    )
    _add_up(section, last)


def _last_movement(section: Section) -> int:
    return int(section.one("select coalesce(max(sequence), 0) from stock_movements")[0])


def _add_up(section: Section, last: int) -> None:
    """Add what came after the movement of this number to the sums: from the movements themselves, in one
    statement, so that the sums cannot say anything else."""
    section.run(
        """
        update stock_levels
        set shelf = stock_levels.shelf + moved.shelf, held = stock_levels.held + moved.held,
            expected = stock_levels.expected + moved.expected
        from (
            select item as moved_item, sum(shelf_change) as shelf, sum(held_change) as held,
                   sum(expected_change) as expected
            from stock_movements where sequence > ? group by item
        ) as moved
        where stock_levels.item = moved.moved_item
        """,
        last,
    )


def levels(section: Section, items: Collection[str]) -> dict[str, Level]:
    """Item -> its sums, for those of these items that were ever moved."""
    rows = section.rows(_LEVEL + f"where item in ({', '.join('?' * len(items))})", *sorted(items))
    return {str(row[0]): Level(*row) for row in rows}


def free(section: Section, items: Collection[str]) -> dict[str, int]:
    """Item -> what is free of it, for those of these items that were ever moved."""
    marks = ", ".join("?" * len(items))
    return dict(section.rows(_FREE + f"where item in ({marks})", *items))


def every_level(section: Section) -> tuple[Level, ...]:
    """The sums of every item, by item."""
    return tuple(Level(*row) for row in section.rows(_LEVEL + "order by item"))


def sums(section: Section) -> dict[str, tuple[int, int, int]]:
    """Item -> (shelf, held, expected), added up anew from every movement."""
    rows = section.rows(
        """
        select item, sum(shelf_change), sum(held_change), sum(expected_change)
        from stock_movements group by item order by item
        """
    )
    return {str(item): (int(shelf), int(held), int(due)) for item, shelf, held, due in rows}


def movements_of(section: Section, item: str, limit: int = 100) -> tuple[StoredMovement, ...]:
    """The newest movements of one item, newest first.

    What was set aside is found by its hold, which is in force or was ended by a newer movement.
    """
    rows = section.rows(
        """
        with others as (
            select * from stock_movements
            where item = ? and kind <> 'held' order by sequence desc limit ?
        )
        select sequence, at, kind, item, shelf_change, held_change, expected_change, due_on, hold, by,
               reason
        from others
        union all
        select sequence, at, kind, item, shelf_change, held_change, expected_change, due_on, hold, by,
               reason
        from stock_movements
        where item = ? and kind = 'held' and hold in (
            select hold from others where hold is not null
            union all select hold from stock_holds where state = 'held'
        )
        order by sequence desc limit ?
        """,
        item,
        limit,
        item,
        limit,
    )
    return tuple(StoredMovement(*row) for row in rows)


def announced(section: Section) -> dict[str, tuple[tuple[str, int], ...]]:
    """Item -> (day, pieces) of every delivery ever announced, the earliest first, for items of which
    something is still to come."""
    found: dict[str, tuple[tuple[str, int], ...]] = {}
    rows = section.rows(
        """
        select stock_movements.item, stock_movements.due_on, stock_movements.expected_change
        from stock_levels join stock_movements on stock_movements.item = stock_levels.item
        where stock_levels.expected > 0 and stock_movements.kind = 'expected'
        order by stock_movements.item, stock_movements.due_on, stock_movements.sequence
        """
    )
    for item, day, pieces in rows:
        found[item] = (*found.get(item, ()), (str(day), int(pieces)))
    return found


def end_hold(section: Section, hold: int, state: str, at: str) -> None:
    """A hold that no longer holds: ``released``, ``picked`` or ``expired``."""
    section.run("update stock_holds set state = ?, ended_at = ? where hold = ?", state, at, hold)


def set_expiry(section: Section, hold: int, expires_at: str | None) -> None:
    """Another end for a hold; None for as long as it takes."""
    section.run("update stock_holds set expires_at = ? where hold = ?", expires_at, hold)


def is_due(section: Section, at: str) -> bool:
    """Whether a hold has run out that still counts."""
    found = section.row(
        "select 1 from stock_holds where state = 'held' and expires_at <= ? limit 1", at
    )
    return found is not None


def due(section: Section, at: str) -> tuple[StoredHold, ...]:
    """Holds that have run out and still count, the earliest first."""
    rows = section.rows(
        _HOLD + "where state = 'held' and expires_at <= ? order by expires_at, hold", at
    )
    return tuple(StoredHold(*row) for row in rows)


def holds_of(section: Section, order_id: str) -> tuple[StoredHold, ...]:
    """Every hold of an order, oldest first."""
    rows = section.rows(_HOLD + "where order_id = ? order by hold", order_id)
    return tuple(StoredHold(*row) for row in rows)


def hold_in_force(section: Section, serial: str) -> StoredHold | None:
    """The hold that counts for a wheel."""
    row = section.row(_HOLD + "where serial = ? and state = 'held'", serial)
    return StoredHold(*row) if row else None


def lines(section: Section, hold: int) -> dict[str, int]:
    """Item -> pieces that a hold took."""
    rows = section.rows(
        """
        select item, sum(held_change) from stock_movements
        where hold = ? and kind = 'held' group by item order by item
        """,
        hold,
    )
    return {str(item): int(pieces) for item, pieces in rows}


def posting(section: Section, key: str) -> StoredPosting | None:
    """What was posted with this key."""
    row = section.row("select body_digest, answer from stock_postings where posting_key = ?", key)
    return StoredPosting(*row) if row else None


def keep_posting(section: Section, key: str, kept_posting: StoredPosting, at: str) -> None:
    """Remember what a posted list was answered; its key is taken from now on."""
    section.run(
        """
        insert into stock_postings (posting_key, body_digest, answer, posted_at)
        values (?, ?, ?, ?)
        """,
        key,
        kept_posting.body_digest,
        kept_posting.answer,
        at,
    )
