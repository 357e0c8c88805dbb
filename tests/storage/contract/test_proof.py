"""What an audit and a scraper ask, of a sound workshop and of one that lacks something."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildsheet.storage import (
    allotments,
    bench,
    events,
    figures,
    orders,
    proof,
    stock,
    webhooks,
    wheels,
)
from buildsheet.storage.orders import Reply
from buildsheet.storage.stock import Movement, NewHold
from tests.storage.contract.engines import Store
from tests.storage.contract.furnished import (
    ALONE,
    FRONT,
    LATER,
    NOON,
    OTHER_PLAN,
    PLAN,
    REAR,
    SET,
    SINGLE,
)
from tests.storage.contract.test_bench import PASS, STEP


def test_a_sound_workshop_has_nothing_amiss(workshop: Store):
    with workshop.reading() as section:
        assert [proof.gaps(section, table) for table in proof.COUNTED] == [()] * len(proof.COUNTED)
        assert proof.not_one_in_force(section) == ()
        assert proof.strays(section) == ()
        assert proof.holds_not_ended(section) == ()
        assert proof.other_replies(section) == ()
        assert proof.told_to_nobody(section) == ()


def test_what_is_there_is_counted(workshop: Store):
    with workshop.writing() as section:
        allotments.next_numbers(section, "W", 2031, 3)
        bench.insert_step(section, STEP)
        bench.insert_pass(section, replace(PASS, serial=ALONE))
        events.append(section, at=NOON, kind="wheel.read", serial=ALONE, facts='{"pass":1}')
        events.append(section, at=NOON, kind="order.taken", order_id=SET.id)
        assert proof.handed_out(section) == (("W", 2031, 3),)
        assert proof.numbered_alike(section, "W31-") == 3
        assert proof.numbered_alike(section, "A31-") == 2
        assert proof.numbered_alike(section, "W32-") == 0
        assert proof.plan_digests(section) == (PLAN.digest, OTHER_PLAN.digest)
        assert proof.revisions(section) == ((SET.id, 1), (SINGLE.id, 1))
        assert [row[:2] for row in proof.printed(section)] == [
            (FRONT, "A"),
            (REAR, "A"),
            (ALONE, "A"),
        ]
        assert proof.at_the_bench(section) == (FRONT, ALONE)
        assert proof.told_of_passes(section) == (("wheel.read", ALONE, '{"pass":1}'),)


def test_a_table_that_does_not_count_is_not_asked_for_gaps(store: Store):
    with store.reading() as section, pytest.raises(LookupError):
        proof.gaps(section, "orders")


def test_what_lacks_its_other_half_is_named(workshop: Store):
    with workshop.writing() as section:
        wheels.insert_plan(section, replace(PLAN, digest="sha256:stray"))
        orders.insert(section, [replace(SET, id="A31-00009-Z", number="D-9")])
        events.append(section, at=NOON, kind="x", order_id="A31-00008-Y", serial="W31-00008-Y")
        came = [Movement("received", "rim", shelf_change=2)]
        stock.append(section, came, at=NOON, by="A")
        new = NewHold(SET.id, FRONT, None, {"rim": 1})
        stock.set_aside(section, [new], at=NOON, by="A")
        (held,) = stock.holds_of(section, SET.id)
        stock.end_hold(section, held.hold, "picked", LATER)
        webhooks.insert(section, name="a", url="u", secret="s", starts_after=9, by="A", at=NOON)
        orders.keep_reply(section, "shop-a", "k", Reply("sha256:other", SET.id, 1), NOON)
        assert proof.strays(section) == (
            ("event", "1", "its order"),
            ("event", "1", "its wheel"),
            ("order", "A31-00009-Z", "a wheel"),
            ("plan", "sha256:stray", "a wheel"),
        )
        assert proof.holds_not_ended(section) == ((held.hold, "picked", 1),)
        assert proof.told_to_nobody(section) == ("a",)
        assert proof.other_replies(section) == (("shop-a", "k"),)


def test_a_scraper_is_told_how_much_of_what_there_is(workshop: Store):
    with workshop.writing() as section:
        orders.move(section, SET.id, "shipped")
        stock.set_aside(section, [NewHold(SET.id, FRONT, None, {})], at=NOON, by="A")
        came = [Movement("received", "rim", shelf_change=2), Movement("counted", "hub")]
        stock.append(section, came, at=NOON, by="A")
        for name in ("a", "b"):
            webhooks.insert(
                section, name=name, url="u", secret="s", starts_after=0, by="A", at=NOON
            )
        events.append(section, at=NOON, kind="x")
        webhooks.failed(section, "a", "no", LATER)
        webhooks.sent(section, "b", 1)
        wheels.move(section, ALONE, "stock")
        allotments.next_numbers(section, "W", 2031, 3)
        allotments.next_numbers(section, "W", 2032, 2)
        assert figures.open_orders(section) == {"accepted": 1}
        assert figures.open_wheels(section) == {"planned": 2}
        assert figures.handed_out(section, "W") == 5
        assert figures.handed_out(section, "A") == 0
        assert figures.holds(section) == 1
        assert figures.articles(section) == (1, 1, 0)
        assert figures.events(section) == 1
        assert figures.receivers(section) == (2, 1, 1)
