"""An order is held, approved and released, each by name and with a reason, once."""

from __future__ import annotations

import threading

import pytest

from buildsheet.actions.check_order import check_posted
from buildsheet.actions.draw_sheets import draw_sheets
from buildsheet.actions.editions import running_edition
from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.moves.move import Move
from buildsheet.actions.print_sheet import Waits, sheet_pdf
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import events, moves
from tests.actions.moves.asking import (
    WHY,
    ask,
    cancel,
    change,
    codes,
    put,
    said,
    standing,
    state_of,
    take,
)
from tests.actions.test_take_order import on_hold_order
from tests.workshops import counts, example, raw


def test_an_order_is_held_approved_and_released(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    moves_and_states: tuple[tuple[Move, str], ...] = (
        ("hold", "on-hold"),
        ("approve", "accepted"),
        ("release", "released"),
    )
    for move, state in moves_and_states:
        moved = ask(workshop, order, move)
        assert (moved.outcome, said(moved)["state"]) == ("done", state)
        assert state_of(workshop, order) == state


def test_every_move_is_kept_with_who_when_and_why(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    ask(workshop, order, "hold", by="B. Second")
    ask(workshop, order, "approve")
    with workshop.database.reading() as section:
        kept = moves.of_order(section, order)
    assert [(each.move, each.done_by, each.reason) for each in kept] == [
        ("hold", "B. Second", WHY),
        ("approve", "A. Maker", WHY),
    ]
    assert {each.done_at for each in kept} == {"2031-05-01T08:00:00.000Z"}


def test_events_tell_the_move_and_nobodys_name_or_words(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    moved = ask(workshop, order, "hold")
    with workshop.database.reading() as section:
        told = events.after(section, 0)[-1]
    assert (told.kind, told.order_id, told.sequence) == ("order.held", order, said(moved)["event"])
    assert "Maker" not in told.facts
    assert "rang" not in told.facts


def test_what_needs_approval_is_printed_after_it_with_name_and_reason(workshop: Workshop):
    order = take(workshop, on_hold_order())
    serial = order["wheels"][0]["serial"]
    with pytest.raises(Waits):
        sheet_pdf(workshop, known_wheel(workshop, serial))
    assert ask(workshop, order["id"], "approve").outcome == "done"
    view = known_wheel(workshop, serial)
    assert view.approval is not None
    assert (view.approval.done_by, view.approval.reason) == ("A. Maker", WHY)
    assert sheet_pdf(workshop, view).startswith(b"%PDF")


def test_the_sheets_of_an_order_file_are_drawn_once_it_is_approved(workshop: Workshop):
    checked = check_posted(workshop, raw(on_hold_order()))
    edition = running_edition(workshop)
    with pytest.raises(Waits):
        draw_sheets(workshop, checked, edition, "a4")
    order = take(workshop, on_hold_order())
    with pytest.raises(Waits):
        draw_sheets(workshop, checked, edition, "a4")
    ask(workshop, order["id"], "approve")
    (drawn,) = draw_sheets(workshop, checked, edition, "a4")
    assert drawn.serial == order["wheels"][0]["serial"]


def test_an_approval_without_a_real_reason_is_refused(workshop: Workshop):
    order = take(workshop, on_hold_order())["id"]
    moved = ask(workshop, order, "approve", reason="ok")
    assert (moved.outcome, codes(moved)) == ("refused", ["data.text"])
    assert state_of(workshop, order) == "on-hold"


@pytest.mark.parametrize("move", ["approve", "release"])
def test_a_move_that_the_state_does_not_have_is_refused_with_the_state(
    workshop: Workshop, move: Move
):
    order = take(workshop, example("D-1001"))["id"]
    ask(workshop, order, "release" if move == "release" else "hold")
    ask(workshop, order, "approve")
    before = counts(workshop)
    moved = ask(workshop, order, move)
    assert (moved.outcome, codes(moved)) == ("conflict", ["move.not-from-here"])
    found, state = moved.findings[0], state_of(workshop, order)
    assert found.have["state"] == state
    assert found.need["state"] == ["on-hold" if move == "approve" else "accepted"]
    ways = {"accepted": "released or held or changed or cancelled"}
    assert found.says.endswith(
        f"From there it can be {ways.get(state, 'held or changed or cancelled')}."
    )
    assert counts(workshop) == before


def test_a_dry_run_says_where_it_would_lead_and_moves_nothing(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    before = counts(workshop)
    moved = ask(workshop, order, "hold", dry_run=True)
    assert (moved.outcome, said(moved)["done"], said(moved)["state"]) == (
        "dry-run",
        False,
        "on-hold",
    )
    assert (state_of(workshop, order), counts(workshop)) == ("accepted", before)


def test_a_key_sent_twice_gets_the_first_answer_and_another_request_is_refused(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    first = ask(workshop, order, "hold", key="k1")
    again = ask(workshop, order, "hold", key="k1")
    assert (again.outcome, again.answer) == ("replayed", first.answer)
    assert ask(workshop, order, "approve", key="k1").outcome == "key-reused"
    assert state_of(workshop, order) == "on-hold"


def test_an_unknown_order_is_unknown(workshop: Workshop):
    assert ask(workshop, "A31-00099-X", "hold").outcome == "unknown"
    assert ask(workshop, "A31-00099-X", "hold", dry_run=True).outcome == "unknown"
    assert cancel(workshop, "A31-00099-X").outcome == "unknown"


def test_of_moves_at_once_one_wins_and_the_others_are_told(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    outcomes: list[str] = []
    start = threading.Barrier(6)

    def race(turn: int) -> None:
        start.wait()
        moved: Moved = cancel(workshop, order) if turn % 2 else ask(workshop, order, "release")
        outcomes.append(moved.outcome)

    racing = [threading.Thread(target=race, args=(turn,)) for turn in range(6)]
    for each in racing:
        each.start()
    for each in racing:
        each.join()
    # A release may come before the one cancellation, never after it.
    assert outcomes.count("done") in (1, 2)
    assert set(outcomes) == {"done", "conflict"}
    assert state_of(workshop, order) == "cancelled"


def test_a_planned_order_is_cancelled_freely_and_prints_no_sheet(workshop: Workshop):
    order = take(workshop, example("D-1001"))
    moved = cancel(workshop, order["id"])
    assert moved.outcome == "done"
    assert {each["how"] for each in said(moved)["lost"]} == {"free"}
    assert standing(workshop, order["id"]) == {
        "front": ("cancelled", "A"),
        "rear": ("cancelled", "A"),
    }
    with pytest.raises(Waits, match="cancelled"):
        sheet_pdf(workshop, known_wheel(workshop, order["wheels"][0]["serial"]))


def test_a_laced_wheel_is_cancelled_by_approval_only_and_becomes_a_stock_wheel(
    workshop: Workshop,
):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "building")
    before = counts(workshop)
    moved = cancel(workshop, order)
    assert (moved.outcome, codes(moved)) == ("conflict", ["move.approval-needed"])
    assert "stock wheel" in moved.findings[0].says
    assert moved.findings[0].need == {"approved_by": "a name", "reason": "why"}
    assert counts(workshop) == before
    assert codes(cancel(workshop, order, approved_by="B. Second", reason="short"))
    done = cancel(workshop, order, approved_by="B. Second")
    assert done.outcome == "done"
    assert standing(workshop, order) == {"front": ("stock", "A"), "rear": ("cancelled", "A")}
    with workshop.database.reading() as section:
        assert moves.of_order(section, order)[-1].approved_by == "B. Second"


def test_an_order_of_which_a_wheel_has_left_is_not_cancelled(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "shipped")
    moved = cancel(workshop, order, approved_by="B. Second")
    assert (moved.outcome, codes(moved)) == ("conflict", ["move.too-late"])
    assert state_of(workshop, order) == "accepted"


def test_a_dry_cancellation_says_what_would_be_lost_and_what_it_needs(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "packed", "rear")
    answer = said(cancel(workshop, order, dry_run=True))
    assert (answer["done"], answer["needs_approval"], answer["state"]) == (False, True, "cancelled")
    assert [(each["position"], each["how"]) for each in answer["lost"]] == [
        ("front", "free"),
        ("rear", "approval"),
    ]
    assert [each["code"] for each in answer["findings"]] == ["move.approval-needed"]
    assert state_of(workshop, order) == "accepted"


@pytest.mark.parametrize("move", ["hold", "approve", "cancel"])
def test_nobody_stands_for_a_revision_that_was_not_looked_at(workshop: Workshop, move: str):
    order = take(workshop, on_hold_order() if move == "approve" else example("D-1001"))["id"]
    document = {**on_hold_order()} if move == "approve" else example("D-1001")
    assert change(workshop, order, {**document, "revision": 2, "note": "Ring."}).outcome == "done"
    before = counts(workshop)

    def asked(**more: int) -> Moved:
        if move == "cancel":
            return cancel(workshop, order, **more)
        return ask(workshop, order, "hold" if move == "hold" else "approve", **more)

    late = asked(revision=1)
    assert (late.outcome, codes(late)) == ("conflict", ["move.old-revision"])
    assert counts(workshop) == before
    assert asked(revision=2).outcome == "done"
