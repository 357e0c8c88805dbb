"""API keys: stored as digests, recognised by their prefix, revoked but never deleted."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredKey:
    """One key; ``digest`` is the SHA-256 of the whole key, ``source`` whose orders it may take."""

    prefix: str
    name: str
    role: str
    source: str | None
    digest: str
    made_at: str
    revoked_at: str | None


_SELECT = "select prefix, name, role, source, digest, made_at, revoked_at from api_keys "


def insert(section: Section, key: StoredKey) -> None:
    """Keep a new key. A prefix that is taken raises IntegrityError."""
    section.run(
        """
        insert into api_keys (prefix, name, role, source, digest, made_at, revoked_at)
        values (?, ?, ?, ?, ?, ?, ?)
        """,
        key.prefix,
        key.name,
        key.role,
        key.source,
        key.digest,
        key.made_at,
        key.revoked_at,
    )


def by_prefix(section: Section, prefix: str) -> StoredKey | None:
    """The key with this prefix, revoked or not."""
    row = section.row(_SELECT + "where prefix = ?", prefix)
    return StoredKey(*row) if row else None


def named(section: Section, name: str) -> StoredKey | None:
    """The key of this name that is not revoked."""
    row = section.row(_SELECT + "where name = ? and revoked_at is null", name)
    return StoredKey(*row) if row else None


def every(section: Section) -> tuple[StoredKey, ...]:
    """All keys, the oldest first."""
    return tuple(StoredKey(*row) for row in section.rows(_SELECT + "order by made_at, prefix"))


def revoke(section: Section, prefix: str, at: str) -> None:
    """From now on this key opens nothing."""
    section.run("update api_keys set revoked_at = ? where prefix = ?", at, prefix)
