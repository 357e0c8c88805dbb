"""Invented wheels that want spokes."""

from __future__ import annotations

from hypothesis import strategies as st

from buildsheet.catalog.house import LengthHouse
from buildsheet.space.lengths.windows import Want, WheelWant

HOUSE = LengthHouse(
    brass_window_mm=(-0.5, 1.0),
    alloy_window_mm=(-0.2, 0.9),
    aim_mm=0.3,
    look_alike_mm=1,
    stretch_difference_mm=0.5,
)
GRIDS = {"SJ18": range(248, 260), "SJB9": range(248, 260, 2)}


@st.composite
def wheel_wants(draw: st.DrawFn) -> WheelWant:
    window = draw(st.sampled_from([HOUSE.brass_window_mm, HOUSE.alloy_window_mm, (-1.0, 1.0)]))
    pieces = draw(st.sampled_from([10, 12, 14]))

    def side() -> Want:
        tenths = draw(st.integers(2470, 2600))
        return Want(draw(st.sampled_from(sorted(GRIDS))), tenths / 10.0, window, pieces)

    return WheelWant(side(), side(), draw(st.sampled_from(["OR1", "OR2"])), draw(st.integers(1, 4)))


STORES = st.lists(wheel_wants(), min_size=1, max_size=12)
