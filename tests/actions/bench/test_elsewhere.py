"""A rim that went through the gate for another wheel is told there, not first when it is read."""

from __future__ import annotations

from buildsheet.actions.workshop import Workshop
from tests.actions.bench.day import rim_gate, taken


def test_a_rim_that_was_let_in_for_another_wheel_is_told_at_the_gate(stand: Workshop):
    serials = taken(stand)
    assert rim_gate(stand, serials["front"]).findings == ()
    other = rim_gate(stand, serials["rear"])
    told = [each for each in other.findings if each.code == "bench.serial-elsewhere"]
    assert [(each.severity, each.at) for each in told] == [("caution", "/rim_serial")]
    assert serials["front"] in told[0].says


def test_a_rim_that_is_measured_again_for_its_own_wheel_is_not_told(stand: Workshop):
    front = taken(stand)["front"]
    assert rim_gate(stand, front).findings == ()
    assert rim_gate(stand, front).findings == ()
