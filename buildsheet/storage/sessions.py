"""Who is signed in, and how often somebody tried. Rows go when they have had their time."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class SessionHolder:
    """The person behind a session."""

    person_id: int
    name: str
    role: str
    expires_at: str


def open_session(section: Section, digest: str, person_id: int, at: str, expires_at: str) -> None:
    """Keep a new session; those that have expired go."""
    section.run("delete from sessions where expires_at <= ?", at)
    section.run(
        "insert into sessions (digest, person_id, opened_at, expires_at) values (?, ?, ?, ?)",
        digest,
        person_id,
        at,
        expires_at,
    )


def holder(section: Section, digest: str, at: str) -> SessionHolder | None:
    """Who holds this session at this moment; None where it ended, expired, or its person has ended."""
    row = section.row(
        """
        select people.id, people.name, people.role, sessions.expires_at
        from sessions join people on people.id = sessions.person_id
        where sessions.digest = ? and sessions.expires_at > ? and people.ended_at is null
        """,
        digest,
        at,
    )
    return SessionHolder(*row) if row else None


def close(section: Section, digest: str) -> None:
    """End one session."""
    section.run("delete from sessions where digest = ?", digest)


def close_all(section: Section, person_id: int) -> None:
    """End every session of a person."""
    section.run("delete from sessions where person_id = ?", person_id)


def attempts(section: Section, subject: str, since: str) -> tuple[str, ...]:
    """When this subject tried since then, the oldest first."""
    rows = section.rows(
        "select at from sign_in_attempts where subject = ? and at > ? order by at", subject, since
    )
    return tuple(row[0] for row in rows)


def note_attempt(section: Section, subject: str, at: str, since: str) -> None:
    """Count one attempt; attempts of everybody that are older than ``since`` go."""
    section.run("delete from sign_in_attempts where at <= ?", since)
    section.run("insert into sign_in_attempts (subject, at) values (?, ?)", subject, at)


def forgive(section: Section, subject: str) -> None:
    """Forget the attempts of a subject."""
    section.run("delete from sign_in_attempts where subject = ?", subject)
