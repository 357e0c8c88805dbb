"""API keys: shown once, kept as a digest, revoked for good."""

from __future__ import annotations

from hashlib import sha256

import pytest

from buildsheet.actions.people.keys import (
    BadKeyName,
    KeyNameTaken,
    NoSuchKey,
    add_key,
    key_holder,
    list_keys,
    revoke_key,
)
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.standing import asks_nobody
from buildsheet.actions.workshop import Workshop


def test_a_key_opens_for_its_role_and_its_source(workshop: Workshop):
    made = add_key(workshop, "shop-a", Role.INTAKE)
    visitor = key_holder(workshop, made.text)
    assert visitor is not None
    assert (visitor.name, visitor.role, visitor.source) == ("shop-a", Role.INTAKE, "shop-a")
    other = add_key(workshop, "counter", Role.INTAKE, source="shop-b")
    assert key_holder(workshop, other.text).source == "shop-b"  # type: ignore[union-attr]


def test_only_the_digest_of_a_key_is_in_the_file(workshop: Workshop):
    made = add_key(workshop, "shop-a", Role.INTAKE)
    assert [each.digest for each in list_keys(workshop)] == [sha256(made.text.encode()).hexdigest()]
    raw = workshop.path.read_bytes() + workshop.path.with_name("workshop.db-wal").read_bytes()
    assert made.text.encode() not in raw
    assert made.stored.prefix.encode() in raw


def test_a_key_that_is_nearly_right_opens_nothing(workshop: Workshop):
    text = add_key(workshop, "shop-a", Role.INTAKE).text
    swapped = text[:-1] + ("A" if text[-1] != "A" else "B")
    for wrong in (
        "",
        text[:-1],
        text + "A",
        swapped,
        text.upper(),
        text[:12],
        "bk_00000000_" + text[12:],
    ):
        assert key_holder(workshop, wrong) is None
    assert key_holder(workshop, text) is not None


def test_a_revoked_key_opens_nothing_and_the_door_stays_closed(workshop: Workshop):
    by_name = add_key(workshop, "shop-a", Role.INTAKE)
    by_prefix = add_key(workshop, "shop-b", Role.INTAKE)
    revoke_key(workshop, "shop-a")
    revoke_key(workshop, by_prefix.stored.prefix)
    assert key_holder(workshop, by_name.text) is None
    assert key_holder(workshop, by_prefix.text) is None
    assert not asks_nobody(workshop)
    with pytest.raises(NoSuchKey):
        revoke_key(workshop, "shop-a")


def test_a_name_belongs_to_one_key_in_use(workshop: Workshop):
    first = add_key(workshop, "shop-a", Role.INTAKE)
    with pytest.raises(KeyNameTaken):
        add_key(workshop, "shop-a", Role.OWNER)
    revoke_key(workshop, "shop-a")
    second = add_key(workshop, "shop-a", Role.INTAKE)
    assert first.text != second.text


def test_a_source_is_a_word_and_belongs_to_intake_alone(workshop: Workshop):
    with pytest.raises(BadKeyName):
        add_key(workshop, "two words", Role.INTAKE)
    with pytest.raises(BadKeyName):
        add_key(workshop, "shop-a", Role.INTAKE, source="no/word")
    with pytest.raises(BadKeyName):
        add_key(workshop, "shop-a", Role.MANAGER, source="shop-a")
    assert asks_nobody(workshop)
