"""The roles: four of people and keys, and one of keys alone.

What each may do is the access matrix of the doors, not a matter of this file.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class Role(StrEnum):
    """What somebody is here for."""

    INTAKE = "intake"
    BUILDER = "builder"
    MANAGER = "manager"
    OWNER = "owner"
    WATCH = "watch"


SAYS: Final = {
    Role.INTAKE: "posts orders and asks what can be built",
    Role.BUILDER: "builds, measures and signs wheels",
    Role.MANAGER: "moves orders, keeps catalog, rules and stock",
    Role.OWNER: "may do everything",
    Role.WATCH: "reads the figures of the service, and nothing else",
}

PEOPLE: Final = frozenset(Role) - {Role.WATCH}
"""What a person can be here for."""
