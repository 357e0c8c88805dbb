"""A key stands for one document: the same again is answered as before, another one is refused."""

from __future__ import annotations

import json
from typing import Any

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.bench.steps import Answer, take_step
from buildsheet.actions.workshop import Workshop
from tests.actions.bench.day import pass_of, taken, until_lacing, view_of
from tests.workshops import raw


def assert_key_is_taken(answer: Answer) -> None:
    assert answer.outcome == "refused"
    assert [(each.code, each.at) for each in answer.findings] == [("bench.key-reused", "/key")]


def test_other_readings_under_a_key_never_get_the_verdict_of_the_first(stand: Workshop):
    front = taken(stand)["front"]
    document = json.loads(pass_of(stand, front))
    first = take_pass(stand, front, raw(document))
    document["tension"]["typed"][0] = 1400
    assert_key_is_taken(take_pass(stand, front, raw(document)))
    document["key"] = "another-key-1"
    other = json.loads(take_pass(stand, front, raw(document)).answer)
    assert (json.loads(first.answer)["verdict"], other["verdict"]) == ("pass", "stop")
    assert len(view_of(stand, front).passes) == 2


def test_the_order_of_members_makes_no_other_document(stand: Workshop):
    front = taken(stand)["front"]
    document = json.loads(pass_of(stand, front))
    take_pass(stand, front, raw(document))
    turned = dict(reversed(document.items()))
    assert take_pass(stand, front, raw(turned)).outcome == "replayed"


def test_a_step_at_another_station_under_a_key_is_refused(stand: Workshop):
    front = taken(stand)["front"]
    members: dict[str, Any] = {"key": "k-00000001", "issue": "A", "by": "x"}
    gate = {"station": "rim-gate", "rim_serial": "R1", "batch": "L7"}
    assert take_step(stand, front, raw({**members, **gate})).outcome == "kept"
    assert_key_is_taken(take_step(stand, front, raw({**members, **gate, "rim_serial": "R2"})))
    half = {"station": "half-way", "as_picture": True, "label_at_valve": True}
    assert_key_is_taken(take_step(stand, front, raw({**members, **half})))
    assert len(view_of(stand, front).steps) == 1


def test_a_signature_under_a_key_stands_for_one_pass(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    take_pass(stand, front, pass_of(stand, front))
    document = {"key": "k-sign-01", "issue": "A", "by": "S. Second", "number": 1, "verdict": "pass"}
    assert json.loads(sign(stand, front, raw(document)).answer)["good"] is True
    assert sign(stand, front, raw(document)).outcome == "replayed"
    assert_key_is_taken(sign(stand, front, raw({**document, "number": 2})))
    assert_key_is_taken(sign(stand, front, raw({**document, "by": "T. Third"})))
