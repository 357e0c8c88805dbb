"""Gauges: calibration tables and daily checks. Appended; the table that was made last counts."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredTable:
    """One calibration table; ``marks`` is JSON, days are ISO dates, times RFC 3339."""

    gauge: str
    spoke: str
    version: str
    made_on: str
    due_on: str
    error_share: float
    marks: str
    added_by: str
    added_at: str


@dataclass(frozen=True, slots=True)
class StoredCheck:
    """One daily check of one gauge."""

    gauge: str
    day: str
    good: bool
    note: str
    checked_by: str
    checked_at: str


_TABLE = """
    select gauge, spoke, version, made_on, due_on, error_share, marks, added_by, added_at
    from gauge_tables
"""


def insert_table(section: Section, table: StoredTable) -> None:
    """Append a table. One of the same gauge, spoke and version raises IntegrityError."""
    section.run(
        """
        insert into gauge_tables
            (sequence, gauge, spoke, version, made_on, due_on, error_share, marks, added_by, added_at)
        select coalesce(max(sequence), 0) + 1, ?, ?, ?, ?, ?, ?, ?, ?, ? from gauge_tables
        """,
        table.gauge,
        table.spoke,
        table.version,
        table.made_on,
        table.due_on,
        table.error_share,
        table.marks,
        table.added_by,
        table.added_at,
    )


def table(section: Section, gauge: str, spoke: str, version: str) -> StoredTable | None:
    """One table by its name."""
    row = section.row(
        _TABLE + "where gauge = ? and spoke = ? and version = ?", gauge, spoke, version
    )
    return StoredTable(*row) if row else None


def newest_tables(section: Section) -> tuple[StoredTable, ...]:
    """The table of every gauge and spoke that was made last, whenever it was added; of those made on one
    day the one added last."""
    rows = section.rows(
        """
        select gauge, spoke, version, made_on, due_on, error_share, marks, added_by, added_at
        from (
            select *, row_number() over (
                partition by gauge, spoke order by made_on desc, sequence desc
            ) as place
            from gauge_tables
        ) as numbered
        where place = 1 order by gauge, spoke
        """
    )
    return tuple(StoredTable(*row) for row in rows)


def insert_check(section: Section, check: StoredCheck) -> None:
    """Append a daily check."""
    section.run(
        """
        insert into gauge_checks (sequence, gauge, day, good, note, checked_by, checked_at)
        select coalesce(max(sequence), 0) + 1, ?, ?, ?, ?, ?, ? from gauge_checks
        """,
        check.gauge,
        check.day,
        int(check.good),
        check.note,
        check.checked_by,
        check.checked_at,
    )


def last_check(section: Section, gauge: str, day: str) -> StoredCheck | None:
    """The last check of that gauge on that day or before it."""
    row = section.row(
        """
        select gauge, day, good, note, checked_by, checked_at from gauge_checks
        where gauge = ? and day <= ? order by day desc, sequence desc limit 1
        """,
        gauge,
        day,
    )
    return StoredCheck(row[0], row[1], bool(row[2]), row[3], row[4], row[5]) if row else None
