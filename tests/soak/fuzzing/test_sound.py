"""A fair share of what the fuzz makes up passes the form and the checks behind it."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.workshop import Workshop
from tests.catalog.demo_texts import demo_edition
from tests.soak.fuzzing.sound import Gauges, Shelves
from tests.workshops import loaded_file, raw, workshop, workshop_file

__all__ = ["loaded_file", "workshop", "workshop_file"]

MADE = 150


def outcome(workshop: Workshop, where: str, body: bytes) -> tuple[bool, frozenset[str]]:
    """Whether it was taken, and with which codes."""
    if where == "/stock/movements":
        moved = take_movements(workshop, body)
        return moved.outcome == "entered", frozenset(each.code for each in moved.findings)
    kept = (add_table if where == "/gauges" else check_gauge)(workshop, body)
    return kept.new is not None, frozenset(each.code for each in kept.findings)


@pytest.mark.parametrize(
    ("maker", "reached"),
    [
        (Gauges, {"bench.gauge-marks", "bench.gauge-day"}),
        (Shelves, {"stock.reason-missing", "stock.key-reused", "data.out-of-range"}),
    ],
)
def test_two_in_five_are_taken_and_the_checks_behind_the_form_speak(
    workshop: Workshop, maker: type[Gauges | Shelves], reached: set[str]
):
    makes, dice = maker(demo_edition()), Random(1)
    said: Counter[str] = Counter()
    taken = 0
    for turn in range(MADE):
        where, document = makes.made(dice, turn)
        was_taken, codes = outcome(workshop, where, raw(document))
        taken += was_taken
        said.update(codes)
    assert 0.4 * MADE < taken < MADE
    assert reached <= set(said)
