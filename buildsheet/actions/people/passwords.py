"""Passwords: kept as argon2id only, and long instead of complicated.

19 MiB of memory and two rounds is the smaller of the usual recommendations [second-hand: project notes
on security]: one check takes about 35 ms and so never holds a worker up for long. The bounds on length
are a proposal of this house.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from functools import lru_cache
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from buildsheet.actions.desk.people import is_same_person
from buildsheet.errors import CallerError

SHORTEST: Final = 12
LONGEST: Final = 200
_SALT_BYTES: Final = 16

_HASHER: Final = PasswordHasher(
    time_cost=2, memory_cost=19 * 1024, parallelism=1, salt_len=_SALT_BYTES
)


class WeakPassword(CallerError):
    """The password will not do; the message says why and never repeats it."""


def check_strength(password: str, name: str) -> None:
    """Pass a password that will do for this person. Raises WeakPassword."""
    if not SHORTEST <= len(password) <= LONGEST:
        raise WeakPassword(
            f"a password has {SHORTEST} to {LONGEST} characters; a few words together do well"
        )
    if len(set(password)) < 5:
        raise WeakPassword("a password has at least five different characters")
    if is_same_person(password, name) or password.casefold() == name.casefold() * 2:
        raise WeakPassword("a password is not the name of its person")


def sealed(password: str, chance: Callable[[int], bytes]) -> str:
    """The text that is kept instead of the password: argon2id with its salt and its cost."""
    return _HASHER.hash(_normal(password), salt=chance(_SALT_BYTES))


def opens(kept: str, password: str) -> bool:
    """Whether this is the password behind the text that was kept."""
    if len(password) > LONGEST:
        return False
    try:
        return _HASHER.verify(kept, _normal(password))
    except (VerificationError, InvalidHashError):
        return False


def opens_nothing(password: str) -> None:
    """Take as long as `opens` does, so that nobody can tell by the time which names there are."""
    opens(_nobodys(), password)


@lru_cache(maxsize=1)
def _nobodys() -> str:
    return _HASHER.hash("nobody has this password", salt=bytes(_SALT_BYTES))


def _normal(password: str) -> bytes:
    # Keyboards differ in how they send an accent.
    return unicodedata.normalize("NFC", password).encode("utf-8", "surrogatepass")
