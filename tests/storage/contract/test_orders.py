"""Orders, their revisions, replies and moves; which revision counts, and what comes on which page."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from buildsheet.states import OrderState, order_after
from buildsheet.storage import moves, orders, wheels
from buildsheet.storage.moves import Restart, StoredMove
from buildsheet.storage.orders import Reply
from tests.storage.contract.engines import Engine, Store
from tests.storage.contract.furnished import (
    EVENING,
    FRONT,
    LATER,
    NOON,
    OTHER_PLAN,
    PLAN,
    SET,
    SINGLE,
)

MOVE = StoredMove(
    SET.id, 1, "hold", "k1", "sha256:b", "accepted", "on-hold", "A", None, "why", NOON, "{}"
)


def test_an_order_is_found_by_each_of_its_names(workshop: Store):
    with workshop.reading() as section:
        assert orders.by_id(section, SET.id) == SET
        assert orders.by_number(section, "shop-b", "D-1") == SINGLE
        assert orders.by_business_key(section, "shop-a", "D-1", 1) == SET
        assert orders.by_business_key(section, "shop-a", "D-1", 2) is None
        assert orders.numbered(section, "D-1") == (SET, SINGLE)
        assert orders.taken(section, ["D-1", "D-2"]) == {("shop-a", "D-1"), ("shop-b", "D-1")}
        assert orders.by_id(section, "A31-00009-Z") is None


def test_a_further_revision_counts_and_the_first_stays_readable(workshop: Store):
    second = replace(SET, revision=2, document='{"a":2}', state="on-hold")
    with workshop.writing() as section:
        orders.revise(section, second)
        assert orders.by_id(section, SET.id) == second
        assert orders.by_number(section, "shop-a", "D-1") == second
        assert orders.by_id(section, SET.id, 1) == replace(SET, state="on-hold", current=False)


def test_one_sender_calls_one_order_by_a_number(engine: Engine, workshop: Store):
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        orders.insert(section, [replace(SET, id="A31-00003-U")])


def test_an_order_is_of_an_edition_that_is_there(engine: Engine, workshop: Store):
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        orders.insert(section, [replace(SET, id="A31-00003-U", number="D-2", edition=15)])


def test_lists_have_the_newest_first_a_page_at_a_time(workshop: Store):
    with workshop.reading() as section:
        assert orders.latest(section, 9) == (SINGLE, SET)
        assert orders.latest(section, 1) == (SINGLE,)
        assert orders.latest(section, 9, SINGLE.id) == (SET,)
        assert orders.latest(section, 9, SET.id) == ()
        assert orders.latest(section, 9, None, "shop-a") == (SET,)
        assert orders.latest(section, 9, SET.id, "shop-a") == ()


@pytest.mark.parametrize("state", get_args(OrderState))
def test_an_order_stands_while_it_can_be_held_or_approved(workshop: Store, state: OrderState):
    can_be = order_after(state, "hold") or order_after(state, "approve")
    with workshop.writing() as section:
        orders.move(section, SET.id, state)
        there = [each.id for each in orders.standing(section)]
        assert (SET.id in there) is (can_be is not None)


@pytest.mark.parametrize("state", ["shipped", "closed", "cancelled"])
def test_an_order_that_is_over_stands_no_more(workshop: Store, state: str):
    with workshop.writing() as section:
        orders.move(section, SET.id, state)
        wheels.move(section, FRONT, "building")
        assert orders.standing(section) == (SINGLE,)
        assert wheels.states_by_order(section) == {SINGLE.id: ("planned",)}
        orders.move(section, SET.id, "released")
        assert [each.id for each in orders.standing(section)] == [SET.id, SINGLE.id]
        assert wheels.states_by_order(section)[SET.id] == ("building", "planned")


def test_a_key_keeps_what_it_was_first_used_for(workshop: Store):
    reply, other = Reply("sha256:d", SET.id, 1), Reply("sha256:e", SINGLE.id, 1)
    with workshop.writing() as section:
        orders.keep_reply(section, "shop-a", "k", reply, NOON)
        orders.keep_reply(section, "shop-a", "k", other, LATER)
        assert orders.reply_to(section, "shop-a", "k") == reply
        assert orders.reply_to(section, "shop-b", "k") is None


def test_moves_come_back_in_their_order(workshop: Store):
    approved = replace(MOVE, move="approve", key=None, done_by="B")
    changed = replace(MOVE, move="change", key="k3", revision=2)
    with workshop.writing() as section:
        for each in (MOVE, approved, changed):
            moves.insert(section, each)
        assert moves.of_order(section, SET.id) == (MOVE, approved, changed)
        assert moves.by_key(section, SET.id, "k1") == MOVE
        assert moves.by_key(section, SET.id, "k2") is None
        assert moves.newest_approval(section, SET.id) == approved
        assert moves.newest_approval(section, SINGLE.id) is None
        assert moves.change_to(section, SET.id, 2) == changed
        assert moves.change_to(section, SET.id, 1) is None


def test_a_key_is_one_requests_and_no_key_is_nobodys(engine: Engine, workshop: Store):
    with workshop.writing() as section:
        moves.insert(section, replace(MOVE, key=None))
        moves.insert(section, replace(MOVE, key=None))
        moves.insert(section, MOVE)
    with pytest.raises(engine.broken_rule), workshop.writing() as section:
        moves.insert(section, MOVE)


def test_the_plans_of_a_revision_are_those_that_were_kept_first(workshop: Store):
    with workshop.writing() as section:
        assert wheels.plan_digests_of(section, SET.id, 1) == {
            "front": PLAN.digest,
            "rear": OTHER_PLAN.digest,
        }
        moves.keep_plans(section, SET.id, 1, {"front": OTHER_PLAN.digest})
        moves.keep_plans(section, SET.id, 1, {"front": PLAN.digest})
        assert wheels.plan_digests_of(section, SET.id, 1) == {"front": OTHER_PLAN.digest}
        assert wheels.plans_of(section, SET.id, 1) == {"front": OTHER_PLAN.document}


def test_restarts_come_back_in_their_order_with_what_they_keep(workshop: Store):
    found = (
        Restart(FRONT, ("rim-gate", "drill"), 3, 0, NOON),
        Restart(FRONT, (), 5, 2, EVENING),
    )
    with workshop.writing() as section:
        for each in found:
            moves.restart(section, each)
        assert moves.restarts_of(section, FRONT) == found
        assert moves.restarts_of(section, "W31-00009-Z") == ()
