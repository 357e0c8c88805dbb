"""Running numbers: one row per kind and year, counted up inside the section that uses the number."""

from __future__ import annotations

from buildsheet.storage.database import Section


def next_number(section: Section, kind: str, year: int) -> int:
    """The next number of this kind in this year, from 1. A section that is taken back gives its
    numbers back as well: there are no gaps."""
    row = section.one(
        """
        insert into allotments (kind, year, last) values (?, ?, 1)
        on conflict (kind, year) do update set last = allotments.last + 1
        returning last
        """,
        kind,
        year,
    )
    return int(row[0])
