"""An order has left the house when its last wheel has, and not before."""

from __future__ import annotations

from buildsheet.actions.bench.the_order import follow_the_wheels
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.storage import events, moves
from tests.actions.moves.asking import ask, cancel, codes, put, state_of, take
from tests.workshops import MORNING, example


def follow(workshop: Workshop, order: str) -> bool:
    with workshop.database.writing() as section:
        return follow_the_wheels(section, order, stamp(MORNING), "P. Packer")


def ship(workshop: Workshop, order: str) -> None:
    ask(workshop, order, "release")
    for position in ("front", "rear"):
        put(workshop, order, "shipped", position)
    assert follow(workshop, order)


def test_a_released_order_is_shipped_with_its_last_wheel(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    ask(workshop, order, "release")
    put(workshop, order, "shipped", "front")
    assert (follow(workshop, order), state_of(workshop, order)) == (False, "released")
    put(workshop, order, "shipped", "rear")
    assert (follow(workshop, order), state_of(workshop, order)) == (True, "shipped")
    with workshop.database.reading() as section:
        assert events.after(section, 0)[-1].kind == "order.shipped"
        kept = moves.of_order(section, order)[-1]
    assert (kept.move, kept.before, kept.after) == ("ship", "released", "shipped")
    assert (kept.done_by, kept.done_at) == ("P. Packer", stamp(MORNING))
    assert codes(cancel(workshop, order)) == ["move.not-from-here"]


def test_a_shipped_order_is_closed_once_and_nothing_else_is_done_to_it(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    early = ask(workshop, order, "close")
    assert (early.outcome, codes(early)) == ("conflict", ["move.not-from-here"])
    assert "cannot be closed" in early.findings[0].says
    ship(workshop, order)
    assert (ask(workshop, order, "close", reason="").outcome, state_of(workshop, order)) == (
        "done",
        "closed",
    )
    with workshop.database.reading() as section:
        assert events.after(section, 0)[-1].kind == "order.closed"
    for late in (ask(workshop, order, "close"), ask(workshop, order, "hold")):
        assert codes(late) == ["move.not-from-here"]
        assert late.findings[0].says.endswith("Nothing is done to it any more.")
    assert codes(cancel(workshop, order)) == ["move.not-from-here"]


def test_an_order_that_was_not_released_does_not_ship_by_itself(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    for position in ("front", "rear"):
        put(workshop, order, "shipped", position)
    assert (follow(workshop, order), state_of(workshop, order)) == (False, "accepted")
