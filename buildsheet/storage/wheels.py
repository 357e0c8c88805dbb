"""Wheels, the sheets issued for them, and the plans those sheets print.

A wheel has a serial for life. A sheet has an issue letter and a code that nobody can guess; a new
issue makes the old one void, and the file lets no two sheets of one wheel be in force.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from buildsheet.storage.database import Row, Section, SqlValue


@dataclass(frozen=True, slots=True)
class StoredPlan:
    """A plan: ``title`` in a few words, ``document`` as the interfaces print it, ``record`` as this
    program reads it back."""

    digest: str
    title: str
    document: str
    record: str


@dataclass(frozen=True, slots=True)
class StoredSheet:
    """One issue of one wheel's sheet; ``void_at`` is None while it is in force."""

    code: str
    serial: str
    issue: str
    revision: int
    edition: int
    fingerprint: str
    plan_digest: str
    issued_at: str
    void_at: str | None = None
    void_because: str | None = None


@dataclass(frozen=True, slots=True)
class StoredWheel:
    """One wheel with the sheet that is in force and the order it belongs to; ``title`` names its parts."""

    serial: str
    order_id: str
    source: str
    number: str
    order_state: str
    position: str
    state: str
    allotted_at: str
    title: str
    sheet: StoredSheet


_SHEET = """
    select sheets.code, sheets.serial, sheets.issue, sheets.revision, sheets.edition,
           sheets.fingerprint, sheets.plan_digest, sheets.issued_at, sheets.void_at,
           sheets.void_because
    from sheets
"""

_WHEEL = """
    select wheels.serial, wheels.order_id, orders.source, orders.number, orders.state,
           wheels.position, wheels.state, wheels.allotted_at, plans.title,
           sheets.code, sheets.serial, sheets.issue, sheets.revision, sheets.edition,
           sheets.fingerprint, sheets.plan_digest, sheets.issued_at, sheets.void_at,
           sheets.void_because
    from wheels
    join orders on orders.id = wheels.order_id
    join sheets on sheets.serial = wheels.serial and sheets.void_at is null
    join plans on plans.digest = sheets.plan_digest
"""

_WHEEL_WIDTH: Final = 9
"""Columns of `_WHEEL` before those of its sheet."""

_OPEN: Final = "wheels.state not in ('shipped', 'stock', 'cancelled')"
"""Written out, as the index `wheels_open` says it."""

_NEWEST: Final = """
    where wheels.serial in (
        select serial from wheels where serial < ? order by serial desc limit ?
    ) order by wheels.serial desc
"""

AFTER_ALL: Final = "X"
"""Comes after every serial: they begin with a W."""

AT_ONCE: Final = 500
"""Serials in one statement."""


def insert_plan(section: Section, plan: StoredPlan) -> None:
    """Store a plan, once however often the same wheel is ordered."""
    section.run(
        """
        insert into plans (digest, title, document, record) values (?, ?, ?, ?)
        on conflict (digest) do nothing
        """,
        plan.digest,
        plan.title,
        plan.document,
        plan.record,
    )


@dataclass(frozen=True, slots=True)
class NewWheel:
    """A wheel of a new order with its first sheet."""

    order_id: str
    position: str
    plan: StoredPlan
    sheet: StoredSheet


def insert_new(section: Section, state: str, new: Sequence[NewWheel]) -> None:
    """Store new wheels, their first sheets, and those of their plans that are not there yet."""
    plans = {wheel.plan.digest: wheel.plan for wheel in new}
    rows = section.rows(_STORED + f"({', '.join('?' * len(plans))})", *plans)
    for digest in plans.keys() - {str(row[0]) for row in rows}:
        insert_plan(section, plans[digest])
    section.insert(
        "insert into wheels (serial, order_id, position, state, allotted_at) values",
        [
            (wheel.sheet.serial, wheel.order_id, wheel.position, state, wheel.sheet.issued_at)
            for wheel in new
        ],
    )
    section.insert(_NEW_SHEET, [_sheet_values(wheel.sheet) for wheel in new])


def issue_sheet(section: Section, sheet: StoredSheet, because: str = "") -> None:
    """Put a sheet in force; the one before it becomes void at the same moment, ``because`` of this."""
    section.run(
        "update sheets set void_at = ?, void_because = ? where serial = ? and void_at is null",
        sheet.issued_at,
        because or f"replaced by issue {sheet.issue}",
        sheet.serial,
    )
    section.insert(_NEW_SHEET, [_sheet_values(sheet)])


_STORED: Final = "select digest from plans where digest in "
_NEW_SHEET: Final = """
    insert into sheets
        (code, serial, issue, revision, edition, fingerprint, plan_digest, issued_at)
    values
"""


def _sheet_values(sheet: StoredSheet) -> tuple[SqlValue, ...]:
    return (
        sheet.code,
        sheet.serial,
        sheet.issue,
        sheet.revision,
        sheet.edition,
        sheet.fingerprint,
        sheet.plan_digest,
        sheet.issued_at,
    )


def move(section: Section, serial: str, state: str) -> None:
    """Put a wheel into another state."""
    section.run("update wheels set state = ? where serial = ?", state, serial)


def by_serial(section: Section, serial: str) -> StoredWheel | None:
    """A wheel by its serial."""
    row = section.row(_WHEEL + "where wheels.serial = ?", serial)
    return _wheel(row) if row else None


def of_order(section: Section, order_id: str) -> tuple[StoredWheel, ...]:
    """The wheels of an order, front before rear."""
    rows = section.rows(_WHEEL + "where wheels.order_id = ? order by wheels.position", order_id)
    return tuple(_wheel(row) for row in rows)


def latest(section: Section, limit: int, before: str | None = None) -> tuple[StoredWheel, ...]:
    """Wheels with the newest serial first; ``before`` a serial, for the next page."""
    # Which wheels first, and only then what belongs to them: else all sheets may be walked.
    rows = section.rows(_WHEEL + _NEWEST, before or AFTER_ALL, limit)
    return tuple(_wheel(row) for row in rows)


def in_the_house(
    section: Section, limit: int, before: str | None = None
) -> tuple[StoredWheel, ...]:
    """The same of the wheels that have not left the house: neither shipped nor put by nor cancelled."""
    rows = section.rows(
        _WHEEL + f"where {_OPEN} and wheels.serial < ? order by wheels.serial desc limit ?",
        before or AFTER_ALL,
        limit,
    )
    return tuple(_wheel(row) for row in rows)


def with_serials(section: Section, serials: Sequence[str]) -> tuple[StoredWheel, ...]:
    """The wheels with these serials, in their order; one that is not there is left out."""
    found: dict[str, StoredWheel] = {}
    for start in range(0, len(serials), AT_ONCE):
        some = serials[start : start + AT_ONCE]
        marks = ", ".join("?" * len(some))
        for row in section.rows(_WHEEL + f"where wheels.serial in ({marks})", *some):
            found[str(row[0])] = _wheel(row)
    return tuple(found[serial] for serial in serials if serial in found)


def sheet_by_code(section: Section, code: str) -> StoredSheet | None:
    """The sheet a bench code was printed on, in force or void."""
    row = section.row(_SHEET + "where code = ?", code)
    return StoredSheet(*row) if row else None


def sheets_of(section: Section, serial: str) -> tuple[StoredSheet, ...]:
    """Every sheet ever issued for a wheel, oldest first."""
    rows = section.rows(_SHEET + "where serial = ? order by issued_at, issue", serial)
    return tuple(StoredSheet(*row) for row in rows)


def reprint(
    section: Section, code: str, *, revision: int, fingerprint: str, plan_digest: str
) -> None:
    """Let the sheet with this code print another plan under the same issue: finish and paper only."""
    section.run(
        "update sheets set revision = ?, fingerprint = ?, plan_digest = ? where code = ?",
        revision,
        fingerprint,
        plan_digest,
        code,
    )


def plans_of(section: Section, order_id: str, revision: int) -> dict[str, str]:
    """Position -> plan document of one revision of an order, as it was answered."""
    found = {
        position: plan(section, digest)
        for position, digest in plan_digests_of(section, order_id, revision).items()
    }
    return {position: each.document for position, each in found.items() if each is not None}


def plan_digests_of(section: Section, order_id: str, revision: int) -> dict[str, str]:
    """Position -> digest of the plan of one revision: kept by itself where the order was changed, else
    that of the sheet first issued."""
    kept = section.rows(
        """
        select position, plan_digest from revision_plans
        where order_id = ? and revision = ? order by position
        """,
        order_id,
        revision,
    )
    if kept:
        return dict(kept)
    rows = section.rows(
        """
        select wheels.position, sheets.plan_digest from wheels
        join sheets on sheets.serial = wheels.serial and sheets.revision = ?
        where wheels.order_id = ? order by wheels.position, sheets.issued_at desc, sheets.issue desc
        """,
        revision,
        order_id,
    )
    # Later rows overwrite earlier ones: the first issue of a position stays.
    return dict(rows)


def plan(section: Section, digest: str) -> StoredPlan | None:
    """A plan by its digest."""
    row = section.row("select digest, title, document, record from plans where digest = ?", digest)
    return StoredPlan(*row) if row else None


def _wheel(row: Row) -> StoredWheel:
    sheet = StoredSheet(*row[_WHEEL_WIDTH:])
    return StoredWheel(*(*row[:_WHEEL_WIDTH], sheet))


def states_by_order(section: Section) -> dict[str, tuple[str, ...]]:
    """Id of each order that is not over -> the states of its wheels."""
    found: dict[str, tuple[str, ...]] = {}
    rows = section.rows(
        """
        select wheels.order_id, wheels.state
        from orders join wheels on wheels.order_id = orders.id
        where orders.state not in ('shipped', 'closed', 'cancelled')
        order by orders.id, wheels.position
        """
    )
    for order_id, state in rows:
        found[order_id] = (*found.get(order_id, ()), state)
    return found
