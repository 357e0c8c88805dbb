"""API keys: made and shown once, known by their prefix, revoked; and whose a key is.

A key is ``bk_`` + eight hexadecimals (the prefix by which people know it) + ``_`` + 32 random bytes.
"""

from __future__ import annotations

import hmac
import re
from base64 import urlsafe_b64encode
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.standing import look_again
from buildsheet.actions.people.visitor import Visitor
from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.errors import CallerError
from buildsheet.storage import events, keys
from buildsheet.storage.keys import StoredKey

WORD: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
"""A key's name and source: what the source of an order may be."""

_FORM: Final = re.compile(r"(bk_[0-9a-f]{8})_[A-Za-z0-9_-]{43}")
_SECRET_BYTES: Final = 32


class BadKeyName(CallerError):
    """The name or the source of a key is no plain word, or the role takes no source."""


class KeyNameTaken(CallerError):
    """A key of this name is in use."""

    def __init__(self, name: str) -> None:
        super().__init__(f"a key called {name} is in use: revoke it first, or take another name")


class NoSuchKey(CallerError):
    """There is no key of this name or prefix that is still good."""

    def __init__(self, what: str) -> None:
        super().__init__(f"no key in use is called {what!r}: buildsheet key list")


@dataclass(frozen=True, slots=True)
class MadeKey:
    """A new key; ``text`` is the only time that it can be seen."""

    stored: StoredKey
    text: str


def add_key(workshop: Workshop, name: str, role: Role, source: str | None = None) -> MadeKey:
    """A new key. One of role intake takes and sees the orders of one source: its name, or ``source``.

    Raises BadKeyName, KeyNameTaken.
    """
    if not WORD.fullmatch(name):
        raise BadKeyName("a key's name has letters, digits, dots and dashes, at most 40")
    if role is not Role.INTAKE and source is not None:
        raise BadKeyName("only a key of role intake belongs to one source")
    if role is Role.INTAKE:
        source = source or name
        if not WORD.fullmatch(source):
            raise BadKeyName("a source has letters, digits, dots and dashes, at most 40")
    prefix = f"bk_{workshop.chance(4).hex()}"
    secret = urlsafe_b64encode(workshop.chance(_SECRET_BYTES)).rstrip(b"=").decode()
    text = f"{prefix}_{secret}"
    at = stamp(workshop.clock())
    stored = StoredKey(prefix, name, role, source, _digest(text), at, None)
    with workshop.database.writing() as section:
        if keys.named(section, name) is not None:
            raise KeyNameTaken(name)
        keys.insert(section, stored)
        facts = compact({"key": prefix, "role": role.value})
        events.append(section, at=at, kind="key.added", facts=facts)
    look_again()
    return MadeKey(stored, text)


def revoke_key(workshop: Workshop, what: str) -> StoredKey:
    """The key that opens nothing any more; ``what`` is its name or its prefix. Raises NoSuchKey."""
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        stored = keys.named(section, what) or keys.by_prefix(section, what)
        if stored is None or stored.revoked_at is not None:
            raise NoSuchKey(what)
        keys.revoke(section, stored.prefix, at)
        facts = compact({"key": stored.prefix, "role": stored.role})
        events.append(section, at=at, kind="key.revoked", facts=facts)
    return stored


def list_keys(workshop: Workshop) -> tuple[StoredKey, ...]:
    """Every key that was ever made."""
    with workshop.database.reading() as section:
        return keys.every(section)


def key_holder(workshop: Workshop, text: str) -> Visitor | None:
    """Who asks with this key; None where it is no key, not one of ours, or revoked."""
    form = _FORM.fullmatch(text)
    if form is None:
        return None
    with workshop.database.looking() as section:
        stored = keys.by_prefix(section, form[1])
    if stored is None or not hmac.compare_digest(stored.digest, _digest(text)):
        return None
    if stored.revoked_at is not None:
        return None
    return Visitor(stored.name, Role(stored.role), source=stored.source)


def _digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()
