"""Orders are moved, events read and receivers kept from a terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from buildsheet.actions.workshop import Workshop
from buildsheet.storage import orders
from tests.actions.moves.asking import put, state_of, take
from tests.cli.conftest import Said
from tests.workshops import EXAMPLES, example

Ask = Callable[..., Said]
WHO = ("--by", "A. Maker", "--because", "The customer rang and asked.")


def test_an_order_is_held_approved_and_released(workshop: Workshop, workshop_file: Path, said: Ask):
    order = take(workshop, example("D-1001"))["id"]
    for move, state in (("hold", "on-hold"), ("approve", "accepted"), ("release", "released")):
        answer = said("order", move, order, *WHO, "--db", workshop_file)
        assert (answer.code, answer.out) == (0, f"Order D-1001, revision 1: {state}\n")
    assert state_of(workshop, order) == "released"


def test_an_order_is_shown_with_every_move(workshop: Workshop, workshop_file: Path, said: Ask):
    taken = take(workshop, example("D-1001"))
    order = taken["id"]
    said("order", "hold", order, *WHO, "--db", workshop_file)
    shown = said("order", "show", order, "--db", workshop_file)
    assert shown.code == 0
    assert f"Order D-1001 of shop-a, {order}, revision 1" in shown.out
    assert all(wheel["serial"] in shown.out for wheel in taken["wheels"])
    line = "hold     accepted -> on-hold, revision 1, by A. Maker: The customer rang and asked."
    assert line in shown.out
    whole = said("order", "show", order, "--json", "--db", workshop_file).json
    assert [each["move"] for each in whole["moves"]] == ["hold"]
    unknown = said("order", "show", "A31-00099-X", "--db", workshop_file)
    assert (unknown.code, unknown.out) == (2, "")


def test_an_order_is_closed_after_it_was_shipped(
    workshop: Workshop, workshop_file: Path, said: Ask
):
    order = take(workshop, example("D-1001"))["id"]
    words = ("order", "close", order, "--by", "A. Maker", "--db", workshop_file)
    assert said(*words).code == 1
    with workshop.database.writing() as section:
        orders.move(section, order, "shipped")
    assert (said(*words).out, state_of(workshop, order)) == (
        "Order D-1001, revision 1: closed\n",
        "closed",
    )


def test_a_cancellation_says_what_is_lost_and_who_has_to_stand_for_it(
    workshop: Workshop, workshop_file: Path, said: Ask
):
    order = take(workshop, example("D-1001"))["id"]
    put(workshop, order, "building")
    asked = said("order", "cancel", order, *WHO, "--dry-run", "--db", workshop_file)
    assert asked.code == 0
    assert "becomes a stock wheel" in asked.out
    assert "Nothing was done" in asked.out
    refused = said("order", "cancel", order, *WHO, "--db", workshop_file)
    assert (refused.code, "move.approval-needed" in refused.out) == (1, True)
    done = said(
        "order",
        "cancel",
        order,
        *WHO,
        "--approved-by",
        "B. Second",
        "--json",
        "--db",
        workshop_file,
    )
    assert (done.code, done.json["state"], done.json["done"]) == (0, "cancelled", True)


def test_a_change_is_read_from_a_file(workshop: Workshop, workshop_file: Path, said: Ask):
    order = take(workshop, example("D-1011"))["id"]
    file = EXAMPLES / "changes" / "D-1011-2.json"
    words = ("order", "change", order, file, "--old-revision", 1, *WHO, "--db", workshop_file)
    done = said(*words)
    assert done.code == 0
    assert "issue B, A void" in done.out
    assert "Order D-1011, revision 2: accepted" in done.out
    # Sent again, it is the same change.
    assert said(*words).out == done.out


def test_an_order_that_is_not_there_or_a_file_that_is_none_is_wrong_use(
    workshop: Workshop, workshop_file: Path, said: Ask, tmp_path: Path
):
    assert said("order", "hold", "A31-00099-X", *WHO, "--db", workshop_file).code == 2
    order = take(workshop, example("D-1001"))["id"]
    bad = tmp_path / "bad.json"
    bad.write_text("{")
    words = ("order", "change", order, bad, "--old-revision", 1, *WHO, "--db", workshop_file)
    assert said(*words).code == 2


def test_events_are_listed_after_a_number(workshop: Workshop, workshop_file: Path, said: Ask):
    order = take(workshop, example("D-1001"))["id"]
    listed = said("events", "--after", 1, "--json", "--db", workshop_file).json
    assert [each["kind"] for each in listed["events"]] == ["order.taken"]
    assert listed["next"] == 2
    assert order in said("events", "--db", workshop_file).out


def test_a_receiver_is_added_listed_and_ended(workshop_file: Path, said: Ask):
    db = ("--db", workshop_file)
    url = "https://hooks.example/in"
    added = said("webhook", "add", "till", url, "--by", "O. Owner", "--json", *db)
    assert added.code == 0
    secret = added.json["secret"]
    listed = said("webhook", "list", *db)
    assert "till" in listed.out
    assert secret not in listed.out + said("webhook", "list", "--json", *db).out
    assert said("webhook", "add", "x", "http://hooks.example", "--by", "O", *db).code == 2
    assert said("webhook", "end", "till", "--by", "O. Owner", *db).code == 0
    assert said("webhook", "end", "till", "--by", "O. Owner", *db).code == 1
    assert said("webhook", "send", *db).code == 0
