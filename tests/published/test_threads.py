"""Spoke threads against a table citing DIN 79012.

Source: a retailer's table of DIN 79012 (second-hand; the standard itself was not seen), three decimals,
so 0.0005 mm. Its 2.096 mm is printed by two other pages as well (read).
"""

from __future__ import annotations

import pytest

from buildsheet.units import SPOKE_THREAD_PITCH_MM
from tests.published.published_case import Case

TABLE = "retailer's table citing DIN 79012"
FORMS = (("FG 2", 2.096, 1.613), ("FG 2.3", 2.299, 1.816), ("FG 2.6", 2.604, 2.121))
"""Name, outer and core diameter in mm."""

CASES = (
    Case(
        "spoke thread pitch, 56 threads an inch",
        TABLE,
        "second-hand",
        0.454,
        "mm",
        lambda: SPOKE_THREAD_PITCH_MM,
        0.0005,
        "half of the last printed digit",
    ),
    *(
        Case(
            f"{name}, outer less core diameter",
            TABLE,
            "second-hand",
            outer_mm - core_mm,
            "mm",
            lambda: 1.065 * SPOKE_THREAD_PITCH_MM,
            0.001,
            "half of the last digit of each diameter",
            "1.065 pitches is our own calculation",
        )
        for name, outer_mm, core_mm in FORMS
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_printed_figure_is_met(case: Case) -> None:
    assert abs(case.difference()) <= case.within
