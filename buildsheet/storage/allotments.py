"""Running numbers: one row per kind and year, counted up inside the section that uses the number."""

from __future__ import annotations

from buildsheet.storage.database import Section


def next_number(section: Section, kind: str, year: int) -> int:
    """The next number of this kind in this year, from 1. A section that is taken back gives its
    numbers back as well: there are no gaps."""
    return next_numbers(section, kind, year, 1)[0]


def next_numbers(section: Section, kind: str, year: int, count: int) -> range:
    """So many numbers in a row."""
    row = section.one(
        """
        insert into allotments (kind, year, last) values (?, ?, ?)
        on conflict (kind, year) do update set last = allotments.last + excluded.last
        returning last
        """,
        kind,
        year,
        count,
    )
    last = int(row[0])
    return range(last - count + 1, last + 1)
