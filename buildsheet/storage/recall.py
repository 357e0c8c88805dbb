"""Serials of wheels by what is in them, who had them in the hand and what they stand under; newest first.

A gauge, a person or an edition has ten thousands of wheels after some years: whoever shows them to people
asks for a part, whoever calls wheels back for all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from buildsheet.storage.database import Section
from buildsheet.storage.wheels import AFTER_ALL


@dataclass(frozen=True, slots=True)
class Part:
    """Which part of a long list of serials: the newest ``most`` of those before ``before``."""

    most: int = 2**31 - 1
    before: str | None = None


ALL: Final = Part()
"""The whole list, as a recall needs it."""


def with_batch(section: Section, kind: str, name: str, part: Part = ALL) -> tuple[str, ...]:
    """Serials of the wheels that have this batch or serial in them, the newest first."""
    rows = section.rows(
        """
        select distinct serial from wheel_batches
        where kind = ? and name = ? and serial < ? order by serial desc limit ?
        """,
        kind,
        name,
        part.before or AFTER_ALL,
        part.most,
    )
    return tuple(str(row[0]) for row in rows)


def read_with(section: Section, gauge: str, part: Part = ALL) -> tuple[str, ...]:
    """Serials of the wheels that were read with this gauge, the newest first."""
    rows = section.rows(
        """
        select distinct serial from bench_passes
        where gauge = ? and serial < ? order by serial desc limit ?
        """,
        gauge,
        part.before or AFTER_ALL,
        part.most,
    )
    return tuple(str(row[0]) for row in rows)


_OF_PERSON: Final = """
    select serial from (
        select distinct serial from {table} where {by} = ? and serial < ? order by serial desc limit ?
    ) as {table}_of
"""


def of_person(section: Section, person: str, part: Part = ALL) -> tuple[str, ...]:
    """Serials of the wheels that this person read, worked at or signed, the newest first."""
    asked = (person, part.before or AFTER_ALL, part.most)
    rows = section.rows(
        _OF_PERSON.format(table="bench_passes", by="read_by")
        + " union "
        + _OF_PERSON.format(table="bench_steps", by="done_by")
        + " union "
        + _OF_PERSON.format(table="bench_signatures", by="signed_by")
        + " order by serial desc limit ?",
        *asked,
        *asked,
        *asked,
        part.most,
    )
    return tuple(str(row[0]) for row in rows)


def under_edition(section: Section, edition: int, part: Part = ALL) -> tuple[str, ...]:
    """Serials of the wheels whose sheet in force stands under this edition, the newest first."""
    rows = section.rows(
        """
        select serial from sheets
        where edition = ? and void_at is null and serial < ? order by serial desc limit ?
        """,
        edition,
        part.before or AFTER_ALL,
        part.most,
    )
    return tuple(str(row[0]) for row in rows)
