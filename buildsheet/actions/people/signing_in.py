"""Signing in and out. A session is a random number that only the browser has; the file has its digest.

Attempts are counted in the workshop file, so that all worker processes count together: ten for a name
and thirty from an address in a quarter of an hour [proposal]. An attempt is counted before the password
is looked at: whoever asks many times at once gains nothing by it.
"""

from __future__ import annotations

from base64 import urlsafe_b64encode
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from math import ceil
from typing import Final

from buildsheet.actions.desk.people import spelling_key
from buildsheet.actions.people.passwords import check_strength, opens, opens_nothing, sealed
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.subjects import address_subject, name_subject
from buildsheet.actions.people.visitor import Visitor
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.errors import CallerError
from buildsheet.storage import people, sessions
from buildsheet.storage.people import StoredPerson

SESSION: Final = timedelta(hours=12)
"""A working day: whoever begins in the morning is signed out by the next [proposal]."""

WINDOW: Final = timedelta(minutes=15)
MOST_BY_NAME: Final = 10
MOST_BY_ADDRESS: Final = 30
_SECRET_BYTES: Final = 32


class TooManyTries(CallerError):
    """Somebody has to wait before trying again."""

    def __init__(self, wait_s: int) -> None:
        super().__init__("too many tries")
        self.wait_s = wait_s


@dataclass(frozen=True, slots=True)
class SignedIn:
    """A new session; ``secret`` goes to the browser and nowhere else."""

    visitor: Visitor
    secret: str


def sign_in(workshop: Workshop, name: str, password: str, address: str) -> SignedIn | None:
    """The session of whoever proved to be this person; None where name and password do not fit.

    Raises TooManyTries.
    """
    _count(workshop, name, address)
    person = _proved(workshop, name, password)
    if person is None:
        return None
    secret = urlsafe_b64encode(workshop.chance(_SECRET_BYTES)).rstrip(b"=").decode()
    now = workshop.clock()
    with workshop.database.writing() as section:
        # Ended or given another password while this one was looked at: it does not count.
        if people.by_id(section, person.id) != person:
            return None
        sessions.forgive(section, name_subject(name))
        sessions.open_session(section, _digest(secret), person.id, stamp(now), stamp(now + SESSION))
    return SignedIn(_visitor(person.id, person.name, person.role), secret)


def proved(workshop: Workshop, name: str, password: str, address: str) -> Visitor | None:
    """Whoever proved to be this person, for one deed and without a session; None where name and password
    do not fit. Raises TooManyTries."""
    _count(workshop, name, address)
    person = _proved(workshop, name, password)
    if person is None:
        return None
    with workshop.database.writing() as section:
        sessions.forgive(section, name_subject(name))
    return _visitor(person.id, person.name, person.role)


def session_holder(workshop: Workshop, secret: str) -> Visitor | None:
    """Who is signed in with this session; None where it ended, expired, or never was."""
    with workshop.database.looking() as section:
        found = sessions.holder(section, _digest(secret), stamp(workshop.clock()))
    return _visitor(found.person_id, found.name, found.role) if found else None


def sign_out(workshop: Workshop, secret: str) -> None:
    """End this session."""
    with workshop.database.writing() as section:
        sessions.close(section, _digest(secret))


def change_password(workshop: Workshop, visitor: Visitor, old: str, new: str, address: str) -> bool:
    """Whether the password is another one now; the person is then signed out everywhere.

    False where the old one is not right. Raises WeakPassword, TooManyTries.
    """
    check_strength(new, visitor.name)
    _count(workshop, visitor.name, address)
    person = _proved(workshop, visitor.name, old)
    if person is None or person.id != visitor.person_id:
        return False
    kept = sealed(new, workshop.chance)
    with workshop.database.writing() as section:
        if people.by_id(section, person.id) != person:
            return False
        people.set_password(section, person.id, kept, stamp(workshop.clock()))
        sessions.close_all(section, person.id)
        sessions.forgive(section, name_subject(person.name))
    return True


def _proved(workshop: Workshop, name: str, password: str) -> StoredPerson | None:
    with workshop.database.reading() as section:
        person = people.current(section, spelling_key(name))
    if person is None:
        opens_nothing(password)
        return None
    return person if opens(person.password, password) else None


def _count(workshop: Workshop, name: str, address: str) -> None:
    """Count one attempt under the name and from the address. Raises TooManyTries, which counts none."""
    now = workshop.clock()
    since = stamp(now - WINDOW)
    limits = ((name_subject(name), MOST_BY_NAME), (address_subject(address), MOST_BY_ADDRESS))
    with workshop.database.writing() as section:
        for subject, most in limits:
            before = sessions.attempts(section, subject, since)
            if len(before) >= most:
                free = datetime.fromisoformat(before[-most]) + WINDOW
                raise TooManyTries(max(1, ceil((free - now).total_seconds())))
        for subject, _ in limits:
            sessions.note_attempt(section, subject, stamp(now), since)


def _visitor(person_id: int, name: str, role: str) -> Visitor:
    return Visitor(name, Role(role), person_id=person_id)


def _digest(secret: str) -> str:
    return sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
