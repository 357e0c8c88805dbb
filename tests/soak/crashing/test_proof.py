"""The proof of the crash soak can fail: what is lost, twice or other than answered is named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from tests.bench.intake import full_shelves
from tests.bench.serving.load import Answer
from tests.soak.crashing.clients import Book, Post
from tests.soak.crashing.proof import FIRST_GOODS, look, prefix
from tests.soak.crashing.scripts import goods, order
from tests.soak.crashing.torn import torn
from tests.workshops import loaded_file, workshop, workshop_file

__all__ = ["loaded_file", "workshop", "workshop_file"]


@pytest.fixture
def busy(workshop: Workshop) -> tuple[Workshop, Book]:
    """A workshop that took three orders and a list of goods, and the book of those who sent them."""
    book, chance = Book(), Random(1)
    load_stock(workshop, full_shelves(), by="soak", key=FIRST_GOODS)
    for number in range(3):
        post = order(chance, f"n{number}-proof")
        took = take_order(workshop, post.body, post.headers.get("Idempotency-Key"))
        assert took.answered is not None
        answered(book, post, took.answered.text)
    brought = goods(chance, "goods-proof")
    answered(book, brought, take_movements(workshop, brought.body).answer)
    return workshop, book


def answered(book: Book, post: Post, text: str) -> None:
    post.answered(Answer(201, text.encode(), 0.0))
    book.posts.append(post)


def test_a_whole_file_has_no_fault(busy: tuple[Workshop, Book]):
    assert look(*busy).every() == []
    assert prefix(*busy).every() == []


def test_an_answered_order_that_is_not_there_is_lost(busy: tuple[Workshop, Book]):
    workshop, book = busy
    first = book.posts[0]
    book.posts.append(replace(first, key="another", order_id="A31-00009-X"))
    assert look(workshop, book).lost == [
        "order another: answered A31-00009-X, is None",
        f"event {first.event} of order another",
    ]
    assert prefix(workshop, book).lost != []


def test_goods_that_are_answered_and_not_there_are_lost(busy: tuple[Workshop, Book]):
    workshop, book = busy
    book.posts.append(replace(book.posts[-1], key="more-goods"))
    assert look(workshop, book).lost == ["goods more-goods", "goods more-goods: 0 lines of 2"]


def test_goods_that_came_in_twice_are_told(busy: tuple[Workshop, Book]):
    workshop, book = busy
    with workshop.database.writing() as section:
        section.run(
            """
            insert into stock_movements
            select sequence + 100, at, kind, item, shelf_change, held_change, expected_change, due_on, hold,
                   by, reason from stock_movements where reason = 'goods-proof'
            """
        )
    found = look(workshop, book)
    assert found.doubled == ["goods goods-proof: 4 lines of 2"]
    assert any(each.startswith("KF4/24: kept") for each in found.other)
    assert any("numbers stock_movements" in each for each in found.other)


def test_what_is_kept_otherwise_than_answered_and_what_nobody_sent_are_told(
    busy: tuple[Workshop, Book],
):
    workshop, book = busy
    book.posts[-1].seal = b"other"
    unknown = book.posts.pop(0)
    assert look(workshop, book).other == [
        f"order {unknown.key} was never sent",
        "goods goods-proof is kept with another answer than it got",
    ]


def test_an_order_that_no_event_tells_of_is_told(busy: tuple[Workshop, Book]):
    workshop, book = busy
    with workshop.database.writing() as section:
        section.run("drop trigger events_no_update")
        section.run("update events set kind = 'order.told' where kind = 'order.taken'")
    assert "order.taken: 0 events, 3 rows" in look(workshop, book).other


def test_a_log_that_is_cut_leaves_a_beginning(busy: tuple[Workshop, Book], tmp_path: Path):
    workshop, book = busy
    off = 0
    for number in range(12):
        made = torn(workshop.path, tmp_path / f"torn-{number}", book, Random(number))
        assert made is not None
        assert made.every() == []
        off += made.cut_off
    assert off > 0


def test_a_move_that_nobody_sent_needs_somebody_at_the_stand_and_is_there_once(
    busy: tuple[Workshop, Book],
):
    workshop, book = busy
    order_id = book.posts[0].order_id
    with workshop.database.writing() as section:
        for _ in range(2):
            section.run(
                """
                insert into order_moves
                    (sequence, order_id, revision, move, body_digest, state_before, state_after, done_by,
                     reason, done_at, answer)
                select coalesce(max(sequence), 0) + 1, ?, 1, 'release', '', 'accepted', 'released',
                       'W. Builder', 'begun at the stand', '2031-05-01T08:00:00.000Z', '{}'
                from order_moves
                """,
                order_id,
            )
    found = look(workshop, book)
    assert found.doubled == [f"move at the stand release of {order_id}"]
    assert f"{order_id} was moved at the stand by nobody" in found.other
