"""A rim whose bed was pulled beyond a maker's limit is signed only by somebody who says what was seen."""

from __future__ import annotations

from typing import Any

from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.bench.sign import sign
from buildsheet.actions.workshop import Workshop
from tests.actions.bench.day import pass_of, said, taken, until_lacing, view_of
from tests.workshops import raw

SEEN = "bed looked at with a lamp: no crack, no whitening"


def read(
    workshop: Workshop, serial: str, key: str, tight_n: float | None = None, **more: Any
) -> str:
    """One pass at target, with one spoke as tight as said."""
    task = view_of(workshop, serial).task
    typed = [float(round(task.target_n[side])) for side in task.sides]
    if tight_n is not None:
        typed[1] = tight_n
    tension = {"gauge": "G1", "unit": "n", "typed": typed}
    answer = said(
        take_pass(workshop, serial, pass_of(workshop, serial, key, tension=tension, **more))
    )
    return str(answer["verdict"])


def signed(workshop: Workshop, serial: str, key: str, **changes: object) -> dict[str, Any]:
    document = {
        "key": key,
        "issue": view_of(workshop, serial).task.issue,
        "by": "S. Second",
        "number": len(view_of(workshop, serial).passes),
        "verdict": "pass",
        **changes,
    }
    return said(sign(workshop, serial, raw(document)))


def test_after_a_spoke_beyond_the_makers_limit_a_pass_is_signed_with_what_was_seen(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    assert read(stand, front, "k-pass-0001", tight_n=1300.0) == "stop"
    assert read(stand, front, "k-pass-0002") == "pass"
    bare = signed(stand, front, "k-sign-0001")
    assert bare["good"] is False
    says = bare["findings"][0]["says"]
    assert "Pass 1" in says
    assert "hole 2" in says
    assert "1300 N" in says
    assert "1250 N" in says
    kept = signed(stand, front, "k-sign-0002", verdict="pass-with-remark", reason=SEEN)
    assert (kept["good"], kept["verdict"]) == (True, "pass-with-remark")


def test_a_spoke_between_stop_and_limit_is_slackened_and_forgotten(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    assert read(stand, front, "k-pass-0001", tight_n=1230.0) == "stop"
    assert read(stand, front, "k-pass-0002") == "pass"
    assert signed(stand, front, "k-sign-0001")["good"] is True


def test_what_was_pulled_too_far_beside_this_rim_says_nothing_of_it(stand: Workshop):
    front = taken(stand)["front"]
    until_lacing(stand, front)
    read(stand, front, "k-pass-0001", tight_n=1300.0, rim_serial="33D-OTHER")
    assert read(stand, front, "k-pass-0002") == "pass"
    assert signed(stand, front, "k-sign-0001")["good"] is True
