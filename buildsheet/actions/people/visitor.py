"""Who asks for something, once they have proved it."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.people.roles import Role


@dataclass(frozen=True, slots=True)
class Visitor:
    """A person who is signed in, or a key.

    ``source`` is set for a key that may only take and see the orders of one sender.
    """

    name: str
    role: Role
    person_id: int | None = None
    source: str | None = None
