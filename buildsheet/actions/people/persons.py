"""People, added, ended and given another password."""

from __future__ import annotations

from buildsheet.actions.desk.people import name_of, spelling_key
from buildsheet.actions.people.passwords import check_strength, sealed
from buildsheet.actions.people.roles import PEOPLE, Role
from buildsheet.actions.people.standing import look_again
from buildsheet.actions.people.subjects import name_subject
from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.errors import CallerError
from buildsheet.storage import events, people, sessions
from buildsheet.storage.database import Section
from buildsheet.storage.people import StoredPerson

LONGEST_NAME = 40


class NoSuchPerson(CallerError):
    """Nobody of this name may sign in."""

    def __init__(self, name: str) -> None:
        super().__init__(f"nobody called {name!r} is here: buildsheet person list")


class NameTaken(CallerError):
    """A person of this name is here already."""

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is here already: end them first, or say the names apart")


class NameTooLong(CallerError):
    """The name does not fit where it is written down."""

    def __init__(self) -> None:
        super().__init__(f"a name has at most {LONGEST_NAME} characters")


class NoRoleForPeople(CallerError):
    """Only a key is here for this."""

    def __init__(self, role: Role) -> None:
        super().__init__(f"{role.value} is a role of keys: buildsheet key add --role {role.value}")


def add_person(workshop: Workshop, name: str, role: Role, password: str) -> str:
    """The name as it was kept.

    Raises NoName, NameTooLong, NameTaken, WeakPassword, NoRoleForPeople.
    """
    if role not in PEOPLE:
        raise NoRoleForPeople(role)
    name = name_of(name)
    if len(name) > LONGEST_NAME:
        raise NameTooLong
    check_strength(password, name)
    kept = sealed(password, workshop.chance)
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        if people.current(section, spelling_key(name)) is not None:
            raise NameTaken(name)
        people.insert(section, name, spelling_key(name), role, kept, at)
        events.append(section, at=at, kind="person.added", facts=compact({"role": role.value}))
    look_again()
    return name


def end_person(workshop: Workshop, name: str) -> str:
    """The name of the person who does not sign in any more, and is signed out. Raises NoSuchPerson."""
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        person = _current(section, name)
        people.end(section, person.id, at)
        sessions.close_all(section, person.id)
        events.append(section, at=at, kind="person.ended", facts=compact({"role": person.role}))
    return person.name


def give_password(workshop: Workshop, name: str, password: str) -> str:
    """The name of the person who has another password now, and is signed out everywhere.

    Raises NoSuchPerson, WeakPassword.
    """
    check_strength(password, name_of(name))
    kept = sealed(password, workshop.chance)
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        person = _current(section, name)
        people.set_password(section, person.id, kept, at)
        sessions.close_all(section, person.id)
        sessions.forgive(section, name_subject(name))
    return person.name


def list_people(workshop: Workshop) -> tuple[StoredPerson, ...]:
    """Everybody who is or was here."""
    with workshop.database.reading() as section:
        return people.everyone(section)


def _current(section: Section, name: str) -> StoredPerson:
    person = people.current(section, spelling_key(name))
    if person is None:
        raise NoSuchPerson(name)
    return person
