"""Signing in: who proves it gets a session, who tries too often waits, and every end is an end."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from buildsheet.actions.people.passwords import WeakPassword
from buildsheet.actions.people.persons import add_person, end_person, give_password
from buildsheet.actions.people.roles import Role
from buildsheet.actions.people.signing_in import (
    MOST_BY_ADDRESS,
    MOST_BY_NAME,
    SESSION,
    WINDOW,
    TooManyTries,
    change_password,
    session_holder,
    sign_in,
    sign_out,
)
from buildsheet.actions.people.visitor import Visitor
from buildsheet.actions.workshop import Workshop, open_workshop
from tests.workshops import MORNING, Dice

PASSWORD = "nine spokes and a half"
HERE = "192.0.2.7"


class Clock:
    """A clock that is put on by hand."""

    def __init__(self) -> None:
        self.at = MORNING

    def __call__(self) -> datetime:
        return self.at

    def later(self, by: timedelta) -> None:
        self.at += by


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def shop(tmp_path: Path, clock: Clock) -> Iterator[Workshop]:
    """A workshop without a catalog, with one builder."""
    opened = open_workshop(tmp_path / "shop.db", clock=clock, chance=Dice())
    add_person(opened, "B. Builder", Role.BUILDER, PASSWORD)
    yield opened
    opened.close()


def secret_of(shop: Workshop) -> str:
    signed = sign_in(shop, "B. Builder", PASSWORD, HERE)
    assert signed is not None
    return signed.secret


def try_wrong(shop: Workshop, times: int, name: str = "B. Builder", address: str = HERE) -> None:
    for _ in range(times):
        assert sign_in(shop, name, "not the right words", address) is None


def test_who_proves_to_be_somebody_is_known_until_they_sign_out(shop: Workshop):
    signed = sign_in(shop, " b. BUILDER", PASSWORD, HERE)
    assert signed is not None
    assert signed.visitor == Visitor("B. Builder", Role.BUILDER, person_id=1)
    assert session_holder(shop, signed.secret) == signed.visitor
    sign_out(shop, signed.secret)
    assert session_holder(shop, signed.secret) is None


def test_a_wrong_password_a_strange_name_and_an_ended_person_get_nothing(shop: Workshop):
    try_wrong(shop, 1)
    assert sign_in(shop, "Nobody", PASSWORD, HERE) is None
    end_person(shop, "B. Builder")
    assert sign_in(shop, "B. Builder", PASSWORD, HERE) is None


def test_the_same_password_typed_with_another_keyboard_is_the_same(shop: Workshop):
    add_person(shop, "C. Composed", Role.BUILDER, "caf\u00e9 au bord de la mer")
    assert sign_in(shop, "C. Composed", "cafe\u0301 au bord de la mer", HERE) is not None


def test_a_session_ends_by_itself(shop: Workshop, clock: Clock):
    secret = secret_of(shop)
    clock.later(SESSION - timedelta(seconds=1))
    assert session_holder(shop, secret) is not None
    clock.later(timedelta(seconds=1))
    assert session_holder(shop, secret) is None


def test_ending_a_person_ends_every_session_of_theirs(shop: Workshop):
    secrets = [secret_of(shop), secret_of(shop)]
    end_person(shop, "B. Builder")
    assert [session_holder(shop, each) for each in secrets] == [None, None]


def test_another_password_ends_every_session(shop: Workshop):
    mine, elsewhere = secret_of(shop), secret_of(shop)
    visitor = session_holder(shop, mine)
    assert visitor is not None
    new = "eleven words of steel"
    assert not change_password(shop, visitor, "not the right words", new, HERE)
    assert session_holder(shop, elsewhere) is not None
    assert change_password(shop, visitor, PASSWORD, new, HERE)
    assert [session_holder(shop, each) for each in (mine, elsewhere)] == [None, None]
    assert sign_in(shop, "B. Builder", PASSWORD, HERE) is None
    assert sign_in(shop, "B. Builder", new, HERE) is not None


def test_a_weak_new_password_changes_nothing(shop: Workshop):
    secret = secret_of(shop)
    visitor = session_holder(shop, secret)
    assert visitor is not None
    with pytest.raises(WeakPassword):
        change_password(shop, visitor, PASSWORD, "too short", HERE)
    assert session_holder(shop, secret) is not None


def test_a_password_given_at_the_command_line_ends_every_session(shop: Workshop):
    secret = secret_of(shop)
    give_password(shop, "B. Builder", "eleven words of steel")
    assert session_holder(shop, secret) is None


def test_a_name_that_is_tried_too_often_waits_even_with_the_right_password(
    shop: Workshop, clock: Clock
):
    try_wrong(shop, MOST_BY_NAME - 1)
    clock.later(timedelta(minutes=1))
    try_wrong(shop, 1, address="192.0.2.8")
    with pytest.raises(TooManyTries) as refused:
        sign_in(shop, "b. builder", PASSWORD, "192.0.2.9")
    assert refused.value.wait_s == (WINDOW - timedelta(minutes=1)).total_seconds()
    clock.later(WINDOW - timedelta(minutes=1))
    assert sign_in(shop, "B. Builder", PASSWORD, HERE) is not None


def test_waiting_is_not_made_longer_by_trying_on(shop: Workshop, clock: Clock):
    try_wrong(shop, MOST_BY_NAME)
    for _ in range(5):
        with pytest.raises(TooManyTries):
            sign_in(shop, "B. Builder", PASSWORD, HERE)
    clock.later(WINDOW)
    assert sign_in(shop, "B. Builder", PASSWORD, HERE) is not None


def test_an_address_that_tries_many_names_waits(shop: Workshop):
    for number in range(MOST_BY_ADDRESS):
        try_wrong(shop, 1, name=f"Name {number}")
    with pytest.raises(TooManyTries):
        sign_in(shop, "B. Builder", PASSWORD, HERE)
    assert sign_in(shop, "B. Builder", PASSWORD, "192.0.2.8") is not None


def test_the_count_is_shared_by_everybody_who_opens_the_file(shop: Workshop, clock: Clock):
    try_wrong(shop, MOST_BY_NAME)
    other = open_workshop(shop.path, clock=clock, chance=Dice(seed=b"other"))
    with pytest.raises(TooManyTries):
        sign_in(other, "B. Builder", PASSWORD, "192.0.2.8")
    other.close()


def test_a_name_that_got_in_begins_anew(shop: Workshop):
    try_wrong(shop, MOST_BY_NAME - 1)
    secret_of(shop)
    try_wrong(shop, MOST_BY_NAME - 1)
    secret_of(shop)


def test_no_password_no_session_and_no_typed_name_stands_in_the_file(shop: Workshop):
    secret = secret_of(shop)
    sign_in(shop, "my secret typed as a name", "not the right words", HERE)
    raw = shop.path.read_bytes() + shop.path.with_name("shop.db-wal").read_bytes()
    for text in (secret, PASSWORD, "my secret typed", "not the right words", HERE):
        assert text.encode() not in raw
    assert b"B. Builder" in raw
