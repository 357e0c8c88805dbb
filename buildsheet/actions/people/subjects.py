"""Whose attempts are counted together: a name, or an address. Digests, not what was typed."""

from __future__ import annotations

from hashlib import sha256

from buildsheet.actions.desk.people import spelling_key


def name_subject(name: str) -> str:
    """All attempts under one name, however it is spelled."""
    return _subject("name", spelling_key(name))


def address_subject(address: str) -> str:
    """All attempts from one address."""
    return _subject("address", address)


def _subject(kind: str, what: str) -> str:
    return sha256(f"{kind}:{what}".encode("utf-8", "surrogatepass")).hexdigest()
