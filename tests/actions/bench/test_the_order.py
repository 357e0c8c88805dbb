"""Whoever begins a wheel has been given it: its order is released, by their name."""

from __future__ import annotations

import pytest

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.the_order import BEGUN
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.moves.move import move_order
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import events, moves, orders, stock, wheels
from tests.actions.bench.day import pass_of, rim_gate, taken
from tests.workshops import raw


def order_of(workshop: Workshop, serial: str) -> str:
    with workshop.database.reading() as section:
        found = wheels.by_serial(section, serial)
    assert found is not None
    return found.order_id


def state(workshop: Workshop, order_id: str) -> str:
    with workshop.database.reading() as section:
        found = orders.by_id(section, order_id)
    assert found is not None
    return found.state


def released_by(workshop: Workshop, order_id: str) -> list[tuple[str, str]]:
    with workshop.database.reading() as section:
        kept = moves.of_order(section, order_id)
        told = [each.kind for each in events.after(section, 0)]
    assert told.count("order.released") == len(kept)
    return [(each.done_by, each.reason) for each in kept if each.move == "release"]


@pytest.mark.parametrize("deed", ["a step", "a pass"])
def test_the_first_thing_done_to_a_wheel_releases_its_order(workshop: Workshop, deed: str):
    serials = taken(workshop)
    order = order_of(workshop, serials["front"])
    for serial in serials.values():
        if deed == "a step":
            assert rim_gate(workshop, serial).outcome == "kept"
        else:
            assert take_pass(workshop, serial, pass_of(workshop, serial)).outcome == "kept"
        # The second wheel finds it released already.
        assert state(workshop, order) == "released"
        assert released_by(workshop, order) == [("M. K.", BEGUN)]


def test_a_step_that_is_not_good_begins_nothing(workshop: Workshop):
    serials = taken(workshop)
    order = order_of(workshop, serials["front"])
    assert rim_gate(workshop, serials["front"], diameters_mm=[500.0] * 4).outcome == "kept"
    assert (state(workshop, order), released_by(workshop, order)) == ("accepted", [])


def test_an_order_that_was_put_on_hold_is_not_released_from_the_stand(workshop: Workshop):
    serials = taken(workshop)
    order = order_of(workshop, serials["front"])
    said = {"by": "O. Office", "reason": "the customer asked", "revision": 1}
    assert move_order(workshop, order, "hold", raw(said)).outcome == "done"
    rim_gate(workshop, serials["front"])
    assert state(workshop, order) == "on-hold"


def test_what_a_begun_order_holds_does_not_run_out(stocked: Workshop):
    serials = taken(stocked)
    order = order_of(stocked, serials["front"])
    assert rim_gate(stocked, serials["front"]).outcome == "kept"
    with stocked.database.reading() as section:
        held = stock.holds_of(section, order)
    assert [each.expires_at for each in held] == [None, None]


@pytest.fixture
def stocked(workshop: Workshop) -> Workshop:
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
    return workshop
