"""People, keys, sessions and tries: who is who, until when."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.storage import keys, people, sessions
from buildsheet.storage.keys import StoredKey
from buildsheet.storage.sessions import SessionHolder
from tests.storage.contract.engines import Engine, Store
from tests.storage.contract.furnished import EVENING, LATER, NOON

KEY = StoredKey("abc", "a shop", "intake", "shop-a", "sha256:k", NOON, None)


@pytest.fixture
def peopled(store: Store) -> Store:
    with store.writing() as section:
        assert people.insert(section, "M. K.", "m. k.", "builder", "$argon2id$", NOON) == 1
        assert people.insert(section, "A. O.", "a. o.", "owner", "$argon2id$", NOON) == 2
    return store


def test_a_door_that_was_closed_once_is_known_for_good(store: Store):
    with store.writing() as section:
        assert people.is_anyone(section) is False
        keys.insert(section, KEY)
        keys.revoke(section, KEY.prefix, LATER)
        assert people.is_anyone(section) is True


def test_a_name_is_free_again_once_its_person_has_ended(engine: Engine, peopled: Store):
    with pytest.raises(engine.broken_rule), peopled.writing() as section:
        people.insert(section, "m. k.", "m. k.", "builder", "p", NOON)
    with peopled.writing() as section:
        people.end(section, 1, LATER)
        assert people.current(section, "m. k.") is None
        assert people.by_id(section, 1).ended_at == LATER
        assert people.insert(section, "M. K.", "m. k.", "builder", "p", LATER) == 3
        assert [each.id for each in people.everyone(section)] == [1, 2, 3]
        people.set_password(section, 3, "another", EVENING)
        found = people.current(section, "m. k.")
        assert (found.id, found.password, found.password_set_at) == (3, "another", EVENING)
        assert people.by_id(section, 9) is None


def test_a_role_is_one_of_those_there_are(engine: Engine, store: Store):
    with pytest.raises(engine.broken_rule), store.writing() as section:
        people.insert(section, "M. K.", "m. k.", "wizard", "p", NOON)


def test_a_key_is_found_by_its_prefix_and_by_its_name_while_it_opens(engine: Engine, store: Store):
    newer = replace(KEY, prefix="abd", name="another", source=None, made_at=LATER)
    with store.writing() as section:
        keys.insert(section, newer)
        keys.insert(section, KEY)
        assert keys.every(section) == (KEY, newer)
        assert keys.by_prefix(section, "abc") == KEY
        assert keys.by_prefix(section, "xyz") is None
        assert keys.named(section, "a shop") == KEY
        keys.revoke(section, "abc", EVENING)
        assert keys.named(section, "a shop") is None
        assert keys.by_prefix(section, "abc") == replace(KEY, revoked_at=EVENING)
    with pytest.raises(engine.broken_rule), store.writing() as section:
        keys.insert(section, KEY)


def test_a_session_ends_by_itself_by_hand_and_with_its_person(peopled: Store):
    with peopled.writing() as section:
        for digest, person in (("d1", 1), ("d2", 1), ("d3", 2)):
            sessions.open_session(section, digest, person, NOON, EVENING)
        held = SessionHolder(1, "M. K.", "builder", EVENING)
        assert sessions.holder(section, "d1", NOON) == held
        assert sessions.holder(section, "d1", EVENING) is None
        sessions.close(section, "d1")
        assert sessions.holder(section, "d1", NOON) is None
        assert sessions.holder(section, "d2", NOON) == held
        sessions.close_all(section, 1)
        assert sessions.holder(section, "d2", NOON) is None
        people.end(section, 2, LATER)
        assert sessions.holder(section, "d3", NOON) is None


def test_opening_a_session_clears_those_that_have_expired(peopled: Store):
    with peopled.writing() as section:
        sessions.open_session(section, "d1", 1, NOON, LATER)
        sessions.open_session(section, "d2", 1, LATER, EVENING)
        # Asked as of then, the first would still be held if it were there.
        assert sessions.holder(section, "d1", NOON) is None


def test_tries_are_counted_by_subject_since_a_moment_and_forgiven(store: Store):
    with store.writing() as section:
        for subject, at in (("s", NOON), ("s", LATER), ("t", LATER)):
            sessions.note_attempt(section, subject, at, "2031-05-01T00:00:00.000Z")
        assert sessions.attempts(section, "s", "2031-05-01T00:00:00.000Z") == (NOON, LATER)
        assert sessions.attempts(section, "s", NOON) == (LATER,)
        sessions.note_attempt(section, "t", EVENING, NOON)
        assert sessions.attempts(section, "s", "2031-05-01T00:00:00.000Z") == (LATER,)
        sessions.forgive(section, "t")
        assert sessions.attempts(section, "t", NOON) == ()
