"""A change is a new revision: paper and finish make no new issue, another wheel does."""

from __future__ import annotations

import threading

import pytest

from buildsheet.actions.bench.reissue import reissue
from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.show_order import show_order
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop
from buildsheet.storage import events, moves, wheels
from tests.actions.bench.day import kit, rim_gate, step, until_lacing, view_of
from tests.actions.moves.asking import (
    ask,
    cancel,
    change,
    changed_example,
    codes,
    put,
    said,
    serial_of,
    standing,
    state_of,
    take,
)
from tests.actions.test_take_order import on_hold_order
from tests.workshops import changed, counts, example, raw


def other_note(name: str, revision: int = 2) -> dict[str, object]:
    return example(name, **{"/revision": revision, "/note": f"Ring first, {revision}."})


def test_another_colour_while_finishing_waits_makes_no_new_issue(workshop: Workshop):
    order = take(workshop, example("D-1010"))["id"]
    serial = serial_of(workshop, order, "front")
    until_lacing(workshop, serial)
    before = known_wheel(workshop, serial)
    moved = change(workshop, order, changed_example("D-1010"))
    assert moved.outcome == "done", moved.findings
    answer = said(moved)
    assert answer["changed"]["kind"] == "cosmetic"
    assert answer["changed"]["places"] == ["/finish/decal_colour"]
    assert answer["new_issue"] == []
    after = known_wheel(workshop, serial)
    assert after.stored.sheet.code == before.stored.sheet.code
    assert (after.stored.state, after.stored.sheet.issue) == ("building", "A")
    assert view_of(workshop, serial).stand.decals == ("EMBER-M-L", "EMBER-M-R")
    # What was done to the wheel still counts: the change undoes nothing of it.
    assert {"rim-gate", "kit", "first-spoke", "half-way"} <= view_of(workshop, serial).done


def test_a_note_changes_paper_only(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "packed")
    moved = change(workshop, order, other_note("D-1001"))
    assert moved.outcome == "done"
    assert said(moved)["changed"]["wheels"] == {"front": "paper", "rear": "paper"}
    assert standing(workshop, order) == {"front": ("packed", "A"), "rear": ("planned", "A")}
    view = show_order(workshop, order)
    assert view is not None
    assert (view.stored.revision, view.as_json()["document"]) == (2, other_note("D-1001"))


def test_another_hub_before_kitting_is_checked_again_and_gives_issue_b(workshop: Workshop):
    order = take(workshop, example("D-1011"))["id"]
    before = known_wheel(workshop, serial_of(workshop, order, "front"))
    moved = change(workshop, order, changed_example("D-1011"))
    assert moved.outcome == "done", moved.findings
    assert said(moved)["changed"]["wheels"] == {"front": "structural", "rear": "paper"}
    assert [(each["issue"], each["void"]) for each in said(moved)["new_issue"]] == [("B", "A")]
    assert standing(workshop, order) == {"front": ("planned", "B"), "rear": ("planned", "A")}
    view = known_wheel(workshop, before.stored.serial)
    assert "KF4" in view.kept.title
    assert view.stored.sheet.code != before.stored.sheet.code
    assert view.sheets[0].void_because == "revision 2 changes the wheel"


def test_another_hub_after_drilling_needs_a_name_and_says_what_becomes_of_the_rim(
    workshop: Workshop,
):
    order = take(workshop, example("D-1011"))["id"]
    put(workshop, order, "drilled")
    before = counts(workshop)
    moved = change(workshop, order, changed_example("D-1011"))
    assert (moved.outcome, codes(moved)) == ("conflict", ["move.approval-needed"])
    # Both hubs are drilled for by one program: the rim in hand fits the changed wheel.
    assert "rim OR45D stays" in moved.findings[0].says
    assert counts(workshop) == before
    done = change(workshop, order, changed_example("D-1011"), approved_by="B. Second")
    assert done.outcome == "done"
    assert standing(workshop, order)["front"] == ("planned", "B")
    with workshop.database.reading() as section:
        assert moves.of_order(section, order)[-1].approved_by == "B. Second"


def test_another_rim_after_drilling_sends_the_drilled_one_to_stock(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "drilled")
    wanted = example("D-1001", **{"/revision": 2, "/front/rim": "OR45D"})
    moved = change(workshop, order, wanted)
    assert codes(moved) == ["move.approval-needed"]
    assert "rim OR33D goes to stock as drilled" in moved.findings[0].says
    assert change(workshop, order, wanted, approved_by="B. Second").outcome == "done"


def test_a_built_wheel_is_not_made_another_one_whoever_approves(workshop: Workshop):
    order = take(workshop, example("D-1011"))["id"]
    put(workshop, order, "inspected")
    moved = change(workshop, order, changed_example("D-1011"), approved_by="B. Second")
    assert (moved.outcome, codes(moved)) == ("conflict", ["move.too-late"])
    assert "stock wheel" in moved.findings[0].says


def test_other_decals_on_a_packed_wheel_need_a_name_and_a_new_finishing(workshop: Workshop):
    order = take(workshop, example("D-1010"))["id"]
    serial = put(workshop, order, "packed")
    assert codes(change(workshop, order, changed_example("D-1010"))) == ["move.approval-needed"]
    done = change(workshop, order, changed_example("D-1010"), approved_by="B. Second")
    assert done.outcome == "done"
    assert standing(workshop, order)["front"] == ("inspected", "A")
    assert "finishing" not in view_of(workshop, serial).done


def test_a_laced_wheel_that_changes_is_built_from_the_start_on_the_rim_it_had(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    serial = serial_of(workshop, order, "front")
    until_lacing(workshop, serial)
    wanted = example("D-1001", **{"/revision": 2, "/front/nipple_colour": "silver"})
    moved = change(workshop, order, wanted, approved_by="B. Second")
    assert moved.outcome == "done", moved.findings
    assert "stays" in said(moved)["lost"][0]["says"]
    view = view_of(workshop, serial)
    assert (view.state, view.done, view.next_thing) == ("planned", frozenset({"rim-gate"}), "kit")
    assert view.task.rim_serial == "33D-0412"
    assert kit(workshop, serial).findings == ()
    assert view_of(workshop, serial).next_thing == "first-spoke"


def test_a_change_of_rim_undoes_the_rim_gate(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    serial = serial_of(workshop, order, "front")
    rim_gate(workshop, serial)
    wanted = example("D-1001", **{"/revision": 2, "/front/rim": "OR45D"})
    moved = change(workshop, order, wanted)
    assert moved.outcome == "done", moved.findings
    view = view_of(workshop, serial)
    assert (view.next_thing, view.task.rim_serial) == ("rim-gate", "")


def test_a_rim_that_was_measured_off_stays_so_when_only_the_hub_changes(workshop: Workshop):
    order = take(workshop, example("D-1011"))["id"]
    serial = serial_of(workshop, order, "front")
    planned_mm = view_of(workshop, serial).plan.erd_mm
    made = reissue(workshop, serial, because="rim measures more", erd_mm=planned_mm + 0.4)
    assert made is not None
    assert made.sheet is not None
    change(workshop, order, changed_example("D-1011"))
    assert standing(workshop, order)["front"] == ("planned", "C")
    assert view_of(workshop, serial).plan.erd_mm == pytest.approx(planned_mm + 0.4, abs=1e-9)


def test_a_new_rim_is_planned_as_its_article_says(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    serial = serial_of(workshop, order, "front")
    planned_mm = view_of(workshop, serial).plan.erd_mm
    reissue(workshop, serial, because="rim measures more", erd_mm=planned_mm + 0.4)
    wanted = example("D-1001", **{"/revision": 2, "/front/rim": "OR45D"})
    assert change(workshop, order, wanted).outcome == "done"
    other = take(workshop, example("D-1001", **{"/front/rim": "OR45D", "/number": "D-2001"}))
    expected_mm = view_of(workshop, serial_of(workshop, other["id"], "front")).plan.erd_mm
    assert view_of(workshop, serial).plan.erd_mm == pytest.approx(expected_mm, abs=1e-9)


def test_a_change_quotes_the_revision_that_counts(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    assert change(workshop, order, other_note("D-1001")).outcome == "done"
    before = counts(workshop)
    moved = change(workshop, order, other_note("D-1001", 3))
    assert (moved.outcome, codes(moved)) == ("conflict", ["move.old-revision"])
    assert moved.findings[0].need == {"old_revision": 2}
    assert counts(workshop) == before
    assert change(workshop, order, other_note("D-1001", 3), old_revision=2).outcome == "done"


@pytest.mark.parametrize(
    ("place", "value", "code"),
    [
        ("/revision", 1, "move.next-revision"),
        ("/number", "D-9999", "move.other-order"),
        ("/source", "shop-z", "move.other-order"),
    ],
)
def test_a_change_that_is_none_of_this_order_is_refused_with_its_place(
    workshop: Workshop, place: str, value: object, code: str
):
    order = take(workshop, example("D-1001"))["id"]
    moved = change(workshop, order, changed(other_note("D-1001"), **{place: value}))
    assert (moved.outcome, codes(moved)) == ("conflict", [code])
    assert moved.findings[0].at == f"/order{place}"


def test_a_change_that_changes_nothing_is_refused(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    moved = change(workshop, order, example("D-1001", **{"/revision": 2}))
    assert codes(moved) == ["move.nothing-changes"]


def test_an_order_that_cannot_be_built_so_is_refused_with_every_finding_in_its_place(
    workshop: Workshop,
):
    order = take(workshop, example("D-1001"))["id"]
    before = counts(workshop)
    moved = change(workshop, order, example("D-1001", **{"/revision": 2, "/front/hub": "KF9"}))
    assert moved.outcome == "unbuildable"
    assert all(each.at.startswith("/order") for each in moved.findings)
    assert counts(workshop) == before
    faulty = change(workshop, order, example("D-1001", **{"/revision": 2, "/front/holes": "x"}))
    assert (faulty.outcome, faulty.findings[0].at) == ("unbuildable", "/order/front/holes")


def test_what_was_answered_to_a_revision_is_answered_again_after_a_change(workshop: Workshop):
    first = take_order(workshop, raw(example("D-1010")))
    assert first.answered is not None
    changed_to = changed_example("D-1010")
    moved = change(workshop, first.answered.order_id, changed_to)
    again = take_order(workshop, raw(example("D-1010")))
    assert (again.outcome, again.answered) == ("replayed", first.answered)
    assert change(workshop, first.answered.order_id, changed_to).answer == moved.answer
    second = take_order(workshop, raw(changed_to))
    assert second.outcome == "replayed"
    assert second.answered is not None
    assert "EMBER-M-L" in second.answered.text
    assert "LAGOON-M-L" not in second.answered.text


def test_a_revision_is_not_taken_twice_with_other_content(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    change(workshop, order, other_note("D-1001"))
    other = example("D-1001", **{"/revision": 2, "/note": "Something else."})
    refused = change(workshop, order, other)
    assert codes(refused) == ["order.duplicate"]
    assert refused.findings[0].says == (
        f"Revision 2 of {order} is taken with other content; it counts now. Look what that one says, "
        "quote 2 as old_revision and give your change revision 3."
    )


def test_who_repeats_an_old_revision_is_told_which_one_counts_and_the_next_number(
    workshop: Workshop,
):
    order = take(workshop, example("D-1001"))["id"]
    change(workshop, order, other_note("D-1001"))
    third = example("D-1001", **{"/revision": 3, "/note": "Ring twice."})
    change(workshop, order, third, old_revision=2)
    other = example("D-1001", **{"/revision": 2, "/note": "Something else."})
    [finding] = change(workshop, order, other).findings
    assert (finding.code, finding.at) == ("order.duplicate", "/order/revision")
    assert "; revision 3 counts now." in finding.says
    assert finding.need == {"order": order, "old_revision": 3, "revision": 4}
    said_so = example("D-1001", **{"/revision": 4, "/note": "Something else."})
    assert change(workshop, order, said_so, old_revision=3).outcome == "done"
    [early] = change(workshop, order, example("D-1001"), old_revision=4).findings
    assert early.code == "move.next-revision"
    assert early.says.endswith("Give your change revision 5.")


def test_a_new_approval_puts_a_changed_order_on_hold_and_an_old_one_does_not(workshop: Workshop):
    order = take(workshop, on_hold_order())["id"]
    ask(workshop, order, "approve")
    same = {**on_hold_order(), "revision": 2, "note": "Ring first."}
    assert said(change(workshop, order, same))["state"] == "accepted"
    free = take(workshop, example("D-1001"))["id"]
    assert state_of(workshop, free) == "accepted"


def test_a_hold_that_a_person_set_outlasts_a_change(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    ask(workshop, order, "hold")
    assert said(change(workshop, order, other_note("D-1001")))["state"] == "on-hold"


def test_a_cancelled_order_is_not_changed(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    cancel(workshop, order)
    assert codes(change(workshop, order, other_note("D-1001"))) == ["move.not-from-here"]


def test_a_dry_run_of_a_change_keeps_nothing(workshop: Workshop):
    order = take(workshop, example("D-1011"))["id"]
    before = counts(workshop)
    moved = change(workshop, order, changed_example("D-1011"), dry_run=True)
    assert (moved.outcome, said(moved)["done"]) == ("dry-run", False)
    assert said(moved)["new_issue"][0]["issue"] == "B"
    assert counts(workshop) == before


def test_of_two_changes_at_once_one_wins_and_the_other_is_told_the_revision(workshop: Workshop):
    order = take(workshop, example("D-1001"))["id"]
    outcomes: list[Moved] = []
    start = threading.Barrier(2)

    def race(note: str) -> None:
        start.wait()
        wanted = example("D-1001", **{"/revision": 2, "/note": note})
        outcomes.append(change(workshop, order, wanted))

    racing = [threading.Thread(target=race, args=(note,)) for note in ("One.", "Two.")]
    for each in racing:
        each.start()
    for each in racing:
        each.join()
    assert sorted(each.outcome for each in outcomes) == ["conflict", "done"]


def test_a_void_issue_stops_the_bench_and_the_void_is_told(workshop: Workshop):
    order = take(workshop, example("D-1011"))["id"]
    serial = serial_of(workshop, order, "front")
    change(workshop, order, changed_example("D-1011"))
    answer = step(workshop, serial, "kit", issue="A", scanned=[], bagged_apart=True)
    assert "bench.sheet-void" in {each.code for each in answer.findings}
    with workshop.database.reading() as section:
        kinds = [each.kind for each in events.after(section, 0)]
        assert wheels.by_serial(section, serial) is not None
    assert kinds[-3:] == ["order.changed", "sheet.issued", "wheel.step"]
