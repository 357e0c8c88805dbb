"""A set goes into one box: what was ticked with the first wheel is not ticked again with the second."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

from buildsheet.actions.bench.box import box_of
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.record import record_of
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.bench.steps import packing_of
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.stations import STATIONS
from buildsheet.storage import moves
from buildsheet.storage.moves import Restart
from tests.actions.bench.day import pass_of, said, step, taken, until_lacing, view_of
from tests.workshops import raw

OWN = ["wheel rear", "fitted C12-142"]
NOT_LOOKED_AT = "is not in the box. A box with something missing is not closed."


def finished(workshop: Workshop, serial: str) -> None:
    """Built, read at target, signed and finished."""
    until_lacing(workshop, serial)
    said(take_pass(workshop, serial, pass_of(workshop, serial)))
    signature = {"key": "k-sign-0001", "issue": "A", "by": "S. Second", "number": 1}
    assert said(sign(workshop, serial, raw({**signature, "verdict": "pass"})))["good"]
    left, right = view_of(workshop, serial).stand.decals
    decals = {"left_decal": left, "right_decal": right, "photos": ["p-1", "p-2"]}
    done = step(workshop, serial, "finishing", **decals, at_template=True, limits_readable=True)
    assert done.findings == ()


def first_in_the_box(workshop: Workshop, serials: dict[str, str]) -> dict[str, str]:
    """The serials of a set whose front wheel was put into the box with everything else, rear finished."""
    for each in serials.values():
        finished(workshop, each)
    labels = [each.label for each in packing_of(workshop, view_of(workshop, serials["front"]))]
    assert step(workshop, serials["front"], "box", packed=labels).findings == ()
    return serials


def test_with_the_second_wheel_only_its_own_is_ticked(stand: Workshop):
    serials = first_in_the_box(stand, taken(stand))
    box = box_of(stand, view_of(stand, serials["rear"]))
    assert [each.label for each in box.to_tick] == OWN
    assert {(each.serial, each.by) for each in box.before} == {(serials["front"], "M. K.")}
    later = replace(stand, clock=lambda: stand.clock() + timedelta(hours=2))
    packed = step(later, serials["rear"], "box", packed=OWN, by="P. Acker")
    assert packed.findings == ()
    assert view_of(stand, serials["rear"]).state == "packed"
    before = said(packed)["packed_before"]
    assert {"label": "manual M7 de", "with": serials["front"], "by": "M. K."}.items() <= next(
        each for each in before if each["label"] == "manual M7 de"
    ).items()
    # Together they are the whole list, on this wheel's own record too.
    record = record_of(stand, serials["rear"])
    assert record is not None
    kept = json.loads(json.dumps(record["steps"]))[-2]["said"]
    assert {*kept["packed"], *(each["label"] for each in kept["packed_before"])} == {*box.labels}


def test_nothing_of_the_second_wheel_is_taken_as_looked_at(stand: Workshop):
    rear = first_in_the_box(stand, taken(stand))["rear"]
    refused = step(stand, rear, "box", packed=["wheel rear"])
    assert [each.says for each in refused.findings] == [f"fitted C12-142 {NOT_LOOKED_AT}"]
    assert view_of(stand, rear).state == "finished"


def test_the_first_wheel_is_asked_for_everything(stand: Workshop):
    rear = taken(stand)["rear"]
    finished(stand, rear)
    box = box_of(stand, view_of(stand, rear))
    assert (box.before, box.to_tick) == ((), box.lines)
    refused = step(stand, rear, "box", packed=OWN)
    assert len(refused.findings) == len(box.lines) - len(OWN)


def test_a_box_that_counts_no_more_is_ticked_anew(stand: Workshop):
    serials = first_in_the_box(stand, taken(stand))
    front = view_of(stand, serials["front"])
    keeps = tuple(each for each in STATIONS if each not in ("box", "ship"))
    over = Restart(serials["front"], keeps, len(front.steps), 0, "2031-05-02T08:00:00Z")
    with stand.database.writing() as section:
        moves.restart(section, over)
    assert box_of(stand, view_of(stand, serials["rear"])).before == ()
