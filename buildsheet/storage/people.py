"""People who sign in. A person is ended, never deleted; a name is free again once its person has ended."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredPerson:
    """One person; ``password`` is its argon2id text, ``ended_at`` None while they may sign in."""

    id: int
    name: str
    name_key: str
    role: str
    password: str
    password_set_at: str
    added_at: str
    ended_at: str | None


_SELECT = """
    select id, name, name_key, role, password, password_set_at, added_at, ended_at from people
"""


def is_anyone(section: Section) -> bool:
    """Whether this workshop has, or ever had, a person or a key."""
    row = section.one("select exists (select 1 from people) or exists (select 1 from api_keys)")
    return bool(row[0])


def insert(section: Section, name: str, name_key: str, role: str, password: str, at: str) -> int:
    """The number of a new person. A current person of the same name raises IntegrityError."""
    row = section.one(
        """
        insert into people (id, name, name_key, role, password, password_set_at, added_at)
        select coalesce(max(id), 0) + 1, ?, ?, ?, ?, ?, ? from people
        returning id
        """,
        name,
        name_key,
        role,
        password,
        at,
        at,
    )
    return int(row[0])


def current(section: Section, name_key: str) -> StoredPerson | None:
    """The person of this name who may sign in."""
    row = section.row(_SELECT + "where name_key = ? and ended_at is null", name_key)
    return StoredPerson(*row) if row else None


def by_id(section: Section, person_id: int) -> StoredPerson | None:
    """One person by number, ended or not."""
    row = section.row(_SELECT + "where id = ?", person_id)
    return StoredPerson(*row) if row else None


def everyone(section: Section) -> tuple[StoredPerson, ...]:
    """Everybody, in the order in which they were added."""
    return tuple(StoredPerson(*row) for row in section.rows(_SELECT + "order by id"))


def set_password(section: Section, person_id: int, password: str, at: str) -> None:
    """Give a person another password."""
    section.run(
        "update people set password = ?, password_set_at = ? where id = ?", password, at, person_id
    )


def end(section: Section, person_id: int, at: str) -> None:
    """From now on this person does not sign in any more."""
    section.run("update people set ended_at = ? where id = ?", at, person_id)
