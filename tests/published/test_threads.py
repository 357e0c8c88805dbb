"""Spoke threads against a table citing DIN 79012.

Source: a retailer's table of DIN 79012 (second-hand; the standard itself was not seen), three decimals,
so 0.0005 mm. Its 2.096 mm is printed by two other pages as well (read).
"""

from __future__ import annotations

import pytest

from buildsheet.units import SPOKE_THREAD_PITCH_MM

HALF_LAST_DIGIT_MM = 0.0005

# outer and core diameter of FG 2, FG 2.3 and FG 2.6
FORMS = [(2.096, 1.613), (2.299, 1.816), (2.604, 2.121)]


def test_the_pitch_is_56_threads_an_inch() -> None:
    assert SPOKE_THREAD_PITCH_MM == pytest.approx(0.454, abs=HALF_LAST_DIGIT_MM)


@pytest.mark.parametrize(("outer_mm", "core_mm"), FORMS)
def test_the_listed_depth_belongs_to_that_pitch(outer_mm: float, core_mm: float) -> None:
    # our own calculation: twice the thread's depth is 1.065 pitches; both diameters are rounded
    assert outer_mm - core_mm == pytest.approx(
        1.065 * SPOKE_THREAD_PITCH_MM, abs=2.0 * HALF_LAST_DIGIT_MM
    )
