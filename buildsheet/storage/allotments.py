"""Running numbers: one row per kind and year, counted up inside the section that uses the number."""

from __future__ import annotations

from buildsheet.storage.database import Section


def next_numbers(section: Section, kind: str, year: int, count: int) -> range:
    """The next so many numbers of this kind in this year, in a row, from 1. A section that is taken back
    gives its numbers back as well: there are no gaps."""
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
