"""A sheet that is issued again takes its hold along, also where the shelf has too little."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from datetime import timedelta

import pytest

from buildsheet.actions.bench.reissue import Reissued, reissue
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.moves.move import move_order
from buildsheet.actions.stock.held_anew import kit_lacks
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.stock.shelf import disagreements
from buildsheet.actions.workshop import Workshop
from buildsheet.orders.reservation.need import pieces
from buildsheet.storage import stock
from buildsheet.storage.stock import Level, StoredHold
from tests.actions.bench.day import taken, view_of
from tests.workshops import MORNING, raw

OFF_MM = 1.6
OLD, NEW = "SJB9/279", "SJB9/280"


@pytest.fixture
def stocked(stand: Workshop) -> Workshop:
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(stand, text, by="S. Keeper").outcome == "entered"
    return stand


def measured(workshop: Workshop, serial: str, off_mm: float = OFF_MM) -> Reissued:
    erd_mm = view_of(workshop, serial).plan.erd_mm + off_mm
    made = reissue(workshop, serial, because="rim measured off", erd_mm=erd_mm, by="M. K.")
    assert made is not None
    return made


def held(workshop: Workshop, serial: str) -> tuple[StoredHold, dict[str, int]]:
    with workshop.database.reading() as section:
        hold = stock.hold_in_force(section, serial)
        assert hold is not None
        return hold, stock.lines(section, hold.hold)


def release(workshop: Workshop, serial: str) -> None:
    order = view_of(workshop, serial).wheel.stored.order_id
    assert move_order(workshop, order, "release", raw({"by": "A. Maker"})).outcome == "done"


def entered(workshop: Workshop, kind: str, part: str, number: int) -> None:
    lines = [{"kind": kind, "part": part, "pieces": number}]
    document = {
        "key": f"k-{kind}-{part}".replace("/", "-"),
        "by": "S.",
        "reason": "seen",
        "movements": lines,
    }
    assert take_movements(workshop, raw(document)).outcome == "entered"


def level(workshop: Workshop, item: str) -> Level:
    with workshop.database.reading() as section:
        return stock.levels(section, [item])[item]


def test_the_new_lengths_are_held_and_the_old_ones_are_free_again(stocked: Workshop):
    front = taken(stocked)["front"]
    before, had = held(stocked, front)
    made = measured(stocked, front)
    assert (made.sheet is not None, made.findings) == (True, ())
    after, has = held(stocked, front)
    # A rim 1.6 mm larger keeps the shorter spokes, by 0.5 mm of window, and takes longer ones beside them.
    assert {item: had[item] for item in had if item not in has} == {OLD: 14}
    assert {item: has[item] for item in has if item not in had} == {NEW: 14}
    assert has == pieces(view_of(stocked, front).plan.pick)
    assert after.expires_at == before.expires_at is not None
    assert (level(stocked, OLD).held, level(stocked, NEW).held) == (0, 14)
    with stocked.database.reading() as section:
        freed = stock.movements_of(section, OLD)[0]
    assert (freed.kind, freed.by, freed.reason) == (
        "released",
        "M. K.",
        f"{front} gets another sheet",
    )
    assert disagreements(stocked) == ()


def test_a_sheet_for_a_measured_rim_is_issued_whatever_the_shelf_has_and_says_what_it_lacks(
    stocked: Workshop,
):
    wheels = taken(stocked)
    front, other = wheels["front"], held(stocked, wheels["rear"])
    entered(stocked, "counted", NEW, 5)
    made = measured(stocked, front)
    assert made.sheet is not None
    assert made.sheet.issue == "B"
    (said,) = made.findings
    assert (said.code, said.severity) == ("stock.overdrawn", "caution")
    assert said.need == {"pieces": 14, "short": 9}
    assert said.says.startswith(f"{NEW}: this sheet takes 14; 5 on the shelf, 14 held for orders")
    assert held(stocked, front)[1] == pieces(view_of(stocked, front).plan.pick)
    assert held(stocked, wheels["rear"]) == other
    view = view_of(stocked, front)
    assert kit_lacks(stocked, view.wheel.stored, view.plan) == made.findings
    assert disagreements(stocked) == ()
    # What comes in is for this wheel before it is free for another.
    entered(stocked, "received", NEW, 9)
    assert kit_lacks(stocked, view.wheel.stored, view.plan) == ()
    assert level(stocked, NEW).free == 0


def test_a_length_that_was_never_counted_is_said_and_not_held(stand: Workshop):
    wheels = taken(stand)
    front = wheels["front"]
    needed = Counter[str]()
    for serial in wheels.values():
        needed.update(pieces(view_of(stand, serial).plan.pick))
    for item, count in needed.items():
        entered(stand, "received", item, count)
    release(stand, front)
    (said,) = measured(stand, front).findings
    assert "never counted here" in said.says
    assert said.need == {"pieces": 14, "short": 14}
    with stand.database.reading() as section:
        assert stock.levels(section, [NEW]) == {}
    assert disagreements(stand) == ()


def test_a_hold_that_has_run_out_is_not_taken_again_by_a_sheet(stocked: Workshop):
    front = taken(stocked)["front"]
    later = replace(stocked, clock=lambda: MORNING + timedelta(hours=1000))
    made = measured(later, front)
    assert made.sheet is not None
    with later.database.reading() as section:
        assert stock.hold_in_force(section, front) is None
    assert disagreements(later) == ()


def test_a_released_order_keeps_its_parts_for_as_long_as_it_takes(stocked: Workshop):
    front = taken(stocked)["front"]
    release(stocked, front)
    assert measured(stocked, front).sheet is not None
    assert held(stocked, front)[0].expires_at is None


def test_a_workshop_that_keeps_no_stock_issues_the_sheet_and_moves_nothing(stand: Workshop):
    front = taken(stand)["front"]
    made = measured(stand, front)
    assert made.sheet is not None
    assert made.findings == ()
    with stand.database.reading() as section:
        assert not stock.kept(section)


def test_the_event_of_the_new_issue_is_one(stocked: Workshop):
    front = taken(stocked)["front"]
    measured(stocked, front)
    with stocked.database.reading() as section:
        rows = section.rows("select kind, facts from events where kind = 'sheet.issued'")
    assert [json.loads(facts)["issue"] for _, facts in rows] == ["B"]
