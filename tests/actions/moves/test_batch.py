"""A batch is a list: what stands in it is each order's own, and nobody looks before it is its turn."""

from __future__ import annotations

import json
from typing import Any

import pytest

from buildsheet.actions.moves.batch import MOST_ORDERS, read_batch, take_from_batch
from buildsheet.actions.workshop import Workshop
from buildsheet.orders import text
from tests.workshops import counts, example


def given(*orders: object) -> bytes:
    return json.dumps({"orders": orders}).encode()


@pytest.fixture
def looked_at(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """The orders that were looked into, in their order."""
    seen: list[object] = []
    sift = text.sift

    def looking(posted: object) -> Any:
        seen.append(posted)
        return sift(posted)

    monkeypatch.setattr(text, "sift", looking)
    return seen


def test_an_order_is_looked_into_when_it_is_its_turn(workshop: Workshop, looked_at: list[object]):
    orders = [7, example("D-1001"), {"a": 1}, "x"]
    batch = read_batch(given(*orders))
    assert looked_at == []
    outcomes = ["refused", "taken", "refused", "refused"]
    for place, (posted, outcome) in enumerate(zip(batch.orders, outcomes, strict=True), start=1):
        assert take_from_batch(workshop, posted).outcome == outcome
        assert looked_at == orders[:place]
    assert counts(workshop)["orders"] == 1


@pytest.mark.parametrize("length", [0, MOST_ORDERS + 1, 100_000])
def test_a_list_that_is_no_batch_is_refused_for_its_length_alone(
    length: int, looked_at: list[object]
):
    read = read_batch(given(*[{"nonsense": [1, 2, 3]}] * length))
    assert read.orders == ()
    assert [(each.code, each.at) for each in read.findings] == [("data.text", "/orders")]
    assert looked_at == []


def test_what_stands_beside_the_orders_is_bounded_by_itself():
    beside = {f"member_{place}": 1 for place in range(200_000)}
    read = read_batch(json.dumps({"orders": [{}], **beside}).encode())
    assert [each.code for each in read.findings] == ["data.too-large"]


def test_members_of_many_orders_do_not_add_up():
    many = [{f"member_{place}": 1 for place in range(390)}] * MOST_ORDERS
    read = read_batch(given(*many))
    assert read.findings == ()
    assert len(read.orders) == MOST_ORDERS


@pytest.mark.parametrize(
    "order",
    [
        '{"' + "n" * 70_000 + '":{"a":NaN,"b":NaN}}',
        '{"\\ud800":1,"' + "n" * 70_000 + '":1}',
        '{"a":1,"a":"' + "n" * 70_000 + '"}',
        '{"note":"' + "n" * 70_000 + '"}',
    ],
    ids=["no numbers", "no text", "twice", "sound"],
)
def test_an_order_in_a_batch_is_no_longer_than_one_by_itself(workshop: Workshop, order: str):
    """Whose places are written out with every fault: a megabyte would be said hundreds of times."""
    batch = read_batch(f'{{"orders":[{order}]}}'.encode())
    [posted] = batch.orders
    became = take_from_batch(workshop, posted)
    assert [each.code for each in became.findings] == ["order.too-large"]


def test_orders_that_are_given_twice_are_no_batch():
    read = read_batch(b'{"orders": [{}], "orders": [{}]}')
    assert [(each.code, each.at) for each in read.findings] == [
        ("data.duplicate-member", "/orders")
    ]
