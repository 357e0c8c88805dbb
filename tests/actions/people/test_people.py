"""People: added once, known by one spelling, ended but never deleted; their passwords kept as argon2id."""

from __future__ import annotations

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.actions.desk.people import NoName
from buildsheet.actions.people.passwords import WeakPassword
from buildsheet.actions.people.persons import (
    NameTaken,
    NameTooLong,
    NoRoleForPeople,
    NoSuchPerson,
    add_person,
    end_person,
    give_password,
    list_people,
)
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.standing import asks_nobody
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import events

PASSWORD = "nine spokes and a half"


def test_the_first_person_closes_the_door_and_their_end_does_not_open_it(workshop: Workshop):
    assert asks_nobody(workshop)
    add_person(workshop, "B. Builder", Role.BUILDER, PASSWORD)
    assert not asks_nobody(workshop)
    end_person(workshop, "b.  BUILDER")
    assert not asks_nobody(workshop)


def test_nobody_is_deleted_from_the_file(workshop: Workshop):
    add_person(workshop, "B. Builder", Role.BUILDER, PASSWORD)
    with pytest.raises(sqlite3.IntegrityError), workshop.database.writing() as section:
        section.run("delete from people")


def test_a_password_is_kept_as_argon2id_with_its_cost_and_a_salt_of_its_own(workshop: Workshop):
    add_person(workshop, "A. One", Role.OWNER, PASSWORD)
    add_person(workshop, "A. Two", Role.OWNER, PASSWORD)
    one, two = (each.password for each in list_people(workshop))
    assert one.startswith("$argon2id$v=19$m=19456,t=2,p=1$")
    assert one != two


def test_a_role_of_keys_is_nobodys(workshop: Workshop):
    with pytest.raises(NoRoleForPeople, match="buildsheet key add --role watch"):
        add_person(workshop, "W. Watcher", Role.WATCH, "nine spokes and a half")
    assert list_people(workshop) == ()


def test_a_name_belongs_to_one_person_at_a_time(workshop: Workshop):
    add_person(workshop, "B. Builder", Role.BUILDER, PASSWORD)
    with pytest.raises(NameTaken):
        add_person(workshop, "  b. builder ", Role.OWNER, PASSWORD)
    end_person(workshop, "B. Builder")
    add_person(workshop, "B. Builder", Role.MANAGER, PASSWORD)
    assert [(each.role, each.ended_at is None) for each in list_people(workshop)] == [
        ("builder", False),
        ("manager", True),
    ]


@pytest.mark.parametrize(
    "password", ["short words", "aaaaaaaaaaaaaaaa", "x" * 201, "Alexander Example"]
)
def test_a_password_that_is_easily_guessed_is_refused_without_being_repeated(
    workshop: Workshop, password: str
):
    with pytest.raises(WeakPassword) as refused:
        add_person(workshop, "Alexander Example", Role.OWNER, password)
    assert password not in str(refused.value)
    assert asks_nobody(workshop)


def test_a_name_is_one_line_that_fits_where_names_are_written(workshop: Workshop):
    for name in ("", "  ", "two\x00halves"):
        with pytest.raises(NoName):
            add_person(workshop, name, Role.OWNER, PASSWORD)
    with pytest.raises(NameTooLong):
        add_person(workshop, "n" * 41, Role.OWNER, PASSWORD)


def test_who_is_not_here_can_neither_end_nor_change(workshop: Workshop):
    with pytest.raises(NoSuchPerson):
        end_person(workshop, "Nobody")
    with pytest.raises(NoSuchPerson):
        give_password(workshop, "Nobody", PASSWORD)


def test_what_happened_to_people_is_told_without_their_names(workshop: Workshop):
    add_person(workshop, "B. Builder", Role.BUILDER, PASSWORD)
    end_person(workshop, "B. Builder")
    with workshop.database.reading() as section:
        told = events.after(section, 0)
    mine = [each for each in told if each.kind.startswith("person.")]
    assert [each.kind for each in mine] == ["person.added", "person.ended"]
    assert not any("Builder" in each.facts for each in mine)
