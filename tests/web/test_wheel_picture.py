"""The wheel as the stand draws it: no number and no reading lies on another, however many holes."""

from __future__ import annotations

from itertools import combinations
from math import pi

import pytest

from buildsheet.web.pages.bench.labels_round import RIM, TextBox, number_boxes, reading_boxes
from buildsheet.wheel.spec import Side

VIEW = 200.0
"""The drawing reaches so far to every side of the hub."""

ONE_TO_ONE: tuple[Side, ...] = ("right", "left")
TWO_TO_ONE: tuple[Side, ...] = ("right", "left", "right")


def placed(holes: int, sides: tuple[Side, ...]) -> tuple[tuple[TextBox, ...], tuple[TextBox, ...]]:
    angles = [2.0 * pi * (hole + 0.5) / holes for hole in range(holes)]
    by_hole = [sides[hole % len(sides)] for hole in range(holes)]
    return number_boxes(angles), reading_boxes(angles, by_hole)


WHEELS = [
    *((holes, ONE_TO_ONE) for holes in (12, 16, 18, 20, 24, 28, 32, 36, 40)),
    *((holes, TWO_TO_ONE) for holes in (12, 18, 24, 30, 36)),
]


@pytest.mark.parametrize(("holes", "sides"), WHEELS)
def test_no_text_of_the_wheel_covers_another(holes: int, sides: tuple[Side, ...]):
    numbers, readings = placed(holes, sides)
    together = combinations(enumerate((*numbers, *readings)), 2)
    assert [(one, other) for (one, a), (other, b) in together if a.covers(b)] == []


@pytest.mark.parametrize(("holes", "sides"), WHEELS)
def test_readings_stay_clear_of_the_rim_and_in_the_picture(holes: int, sides: tuple[Side, ...]):
    _, readings = placed(holes, sides)
    for hole, each in enumerate(readings):
        outside = sides[hole % len(sides)] == "right"
        assert each.nearest > RIM[1] if outside else each.farthest < RIM[0]
        assert max(abs(each.x) + each.half_width, abs(each.y) + each.half_height) <= VIEW
