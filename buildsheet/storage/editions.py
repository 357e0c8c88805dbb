"""Catalog editions: number, digest, the very texts each was read from, and the paper it came with.

An order stays held to its edition, so an edition can be read again years later.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredEdition:
    """One edition as the workshop file knows it. Times are RFC 3339 text."""

    number: int
    digest: str
    starts: str
    loaded_at: str


@dataclass(frozen=True, slots=True)
class StoredPaper:
    """Who published an edition, and why. ``kind``: ``founding``, ``published``, ``rolled-back``; the
    last is equal to the edition ``equal_to``. ``based_on`` is the edition before it, None for the first.
    """

    edition: int
    kind: str
    author: str
    approver: str | None
    reason: str
    based_on: int | None
    equal_to: int | None
    published_at: str


_SELECT = "select number, digest, starts, loaded_at from editions "


def insert(section: Section, edition: StoredEdition, files: Mapping[str, str]) -> None:
    """Store an edition with its files. A number that is taken raises IntegrityError."""
    section.run(
        "insert into editions (number, digest, starts, loaded_at) values (?, ?, ?, ?)",
        edition.number,
        edition.digest,
        edition.starts,
        edition.loaded_at,
    )
    for name, body in sorted(files.items()):
        section.run(
            "insert into edition_files (edition, name, body) values (?, ?, ?)",
            edition.number,
            name,
            body,
        )


def numbered(section: Section, number: int) -> StoredEdition | None:
    """The edition with this number."""
    row = section.row(_SELECT + "where number = ?", number)
    return StoredEdition(*row) if row else None


def newest(section: Section) -> StoredEdition | None:
    """The edition with the highest number, whether it has started or not."""
    row = section.row(_SELECT + "order by number desc limit 1")
    return StoredEdition(*row) if row else None


def everyone(section: Section) -> tuple[StoredEdition, ...]:
    """All editions, oldest first; a handful, each a line."""
    rows = section.rows(_SELECT + "order by number")
    return tuple(StoredEdition(*row) for row in rows)


def files(section: Section, number: int) -> dict[str, str]:
    """Name -> text of every catalog file of an edition, by name."""
    rows = section.rows(
        "select name, body from edition_files where edition = ? order by name", number
    )
    return dict(rows)


def insert_paper(section: Section, paper: StoredPaper) -> None:
    """Store the paper of an edition that is stored already. A second one raises IntegrityError."""
    section.run(
        """
        insert into edition_papers
            (edition, kind, author, approver, reason, based_on, equal_to, published_at)
        values (?, ?, ?, ?, ?, ?, ?, ?)
        """,
        paper.edition,
        paper.kind,
        paper.author,
        paper.approver,
        paper.reason,
        paper.based_on,
        paper.equal_to,
        paper.published_at,
    )


def papers(section: Section) -> dict[int, StoredPaper]:
    """Edition -> its paper; an edition that an older version of this program loaded has none."""
    rows = section.rows(
        """
        select edition, kind, author, approver, reason, based_on, equal_to, published_at
        from edition_papers order by edition
        """
    )
    return {row[0]: StoredPaper(*row) for row in rows}
