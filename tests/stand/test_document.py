"""A pass is read strictly: every fault at once, with its place."""

from __future__ import annotations

import json
from typing import Any

import pytest

from buildsheet.bench.document import READINGS, PassDocument
from buildsheet.documents.form import read

TENSION = {"gauge": "G1", "unit": "n", "typed": [1150, None, 1140.5]}
GOOD: dict[str, Any] = {
    "key": "k-00000001",
    "issue": "A",
    "by": "M. K.",
    "rim_serial": "33D-0412",
    "tension": TENSION,
    "lateral": {"given_as": "plus-minus", "typed_mm": 0.1},
    "dish": {"given_as": "gap", "typed_mm": 0.3, "toward": "left"},
    "threads": ["in", "in"],
    "note": "first line\nsecond line",
}


def findings(document: dict[str, Any]) -> list[tuple[str, str]]:
    said = read(json.dumps(document).encode(), PassDocument, READINGS).findings
    return [(each.code, each.at) for each in said]


def test_a_pass_in_good_form_is_read_as_it_was_typed():
    said = read(json.dumps(GOOD).encode(), PassDocument, READINGS)
    assert said.findings == ()
    assert said.document is not None
    judged = said.document.as_pass()
    assert judged.tensions is not None
    assert judged.tensions.typed == (1150.0, None, 1140.5)
    assert judged.lateral is not None
    assert judged.lateral.full_mm == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"tension": {**TENSION, "unit": "lbf"}}, ("data.not-a-choice", "/tension/unit")),
        ({"tension": {**TENSION, "typed": ["1150"]}}, ("data.wrong-type", "/tension/typed/0")),
        ({"tension": {**TENSION, "typed": [-1]}}, ("data.out-of-range", "/tension/typed/0")),
        ({"tension": {**TENSION, "typed": []}}, ("data.text", "/tension/typed")),
        ({"lateral": {"typed_mm": 0.1}}, ("data.missing-member", "/lateral/given_as")),
        ({"dish": {"given_as": "gap", "typed_mm": 0.3}}, ("data.missing-member", "/dish/toward")),
        ({"masss_g": 640}, ("data.unknown-member", "/masss_g")),
        ({"key": "short"}, ("data.text", "/key")),
        ({"by": " "}, ("data.text", "/by")),
        ({"by": "a\u202eb"}, ("data.text", "/by")),
        ({"mass_g": 1e400}, ("data.not-a-number", "/mass_g")),
        ({"caps_fitted": "yes"}, ("data.wrong-type", "/caps_fitted")),
        ({"relief_rounds": 2.5}, ("data.wrong-type", "/relief_rounds")),
    ],
)  # fmt: skip
def test_each_fault_of_form_is_said_at_its_place(change: dict[str, Any], said: tuple[str, str]):
    assert findings({**GOOD, **change}) == [said]


def test_all_faults_come_at_once():
    bad = {**GOOD, "key": 1, "issue": "a", "dish": 3}
    assert [at for _, at in findings(bad)] == ["/dish", "/issue", "/key"]


def test_a_member_that_stands_twice_is_refused():
    text = json.dumps(GOOD)[:-1] + ', "issue": "B"}'
    said = read(text.encode(), PassDocument, READINGS)
    assert [(each.code, each.at) for each in said.findings] == [("data.duplicate-member", "/issue")]
