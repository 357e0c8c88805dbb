"""Approvals of drafts and of editions taken up again: appended, one for each person and thing."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredApproval:
    """One person's approval; ``subject`` names what was looked at."""

    subject: str
    by: str
    at: str


def of_draft(version: int) -> str:
    """The name of a draft's version.

    >>> of_draft(12)
    'draft 12'
    """
    return f"draft {version}"


def of_edition(to: int, newest: int) -> str:
    """The name of an edition taken up again in place of the newest one.

    >>> of_edition(16, 18)
    'edition 16 after 18'
    """
    return f"edition {to} after {newest}"


def insert(section: Section, approval: StoredApproval) -> None:
    """Append an approval; whoever approved this already is not written down twice."""
    section.run(
        """
        insert into approvals (subject, approved_by, approved_at) values (?, ?, ?)
        on conflict (subject, approved_by) do nothing
        """,
        approval.subject,
        approval.by,
        approval.at,
    )


def of(section: Section, subject: str) -> tuple[StoredApproval, ...]:
    """Every approval of a thing, the first first."""
    rows = section.rows(
        """
        select subject, approved_by, approved_at from approvals
        where subject = ? order by approved_at, approved_by
        """,
        subject,
    )
    return tuple(StoredApproval(*row) for row in rows)
