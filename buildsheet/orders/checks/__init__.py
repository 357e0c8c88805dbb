"""The checks, one file per family, each a plain function that yields what it finds.

A check looks at what is known. Where an input of the order is missing it stays silent, because that
absence has a finding of its own; where a part lacks a figure it says so with a block.
``structure`` is kept apart: it costs more, and a search asks it last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import chain
from typing import Final

from buildsheet.orders.checks import (
    bicycle,
    data,
    finish,
    lacing,
    length,
    load,
    nipple,
    order,
    pair,
    rim_hub,
    spoke,
    structure,
    tension,
    tyre,
)
from buildsheet.orders.posted import Posted, PostedWheel
from buildsheet.orders.raised import Raised

WheelCheck = Callable[[PostedWheel], Iterator[Raised]]
OrderCheck = Callable[[Posted], Iterator[Raised]]

WHEEL_CHECKS: Final[tuple[WheelCheck, ...]] = (
    *data.CHECKS,
    *rim_hub.CHECKS,
    *spoke.CHECKS,
    *nipple.CHECKS,
    *bicycle.CHECKS,
    *lacing.CHECKS,
    *length.CHECKS,
    *tension.CHECKS,
    *load.CHECKS,
    *tyre.CHECKS,
    *finish.CHECKS,
)
ORDER_CHECKS: Final[tuple[OrderCheck, ...]] = (
    *order.ORDER_CHECKS,
    *load.ORDER_CHECKS,
    *tension.ORDER_CHECKS,
    *finish.ORDER_CHECKS,
    *pair.ORDER_CHECKS,
)
STRUCTURE_CHECKS: Final[tuple[WheelCheck, ...]] = structure.CHECKS


def raised_by(posted: Posted) -> list[Raised]:
    """Everything that the cheap checks find."""
    by_wheel = (check(wheel) for wheel in posted.wheels for check in WHEEL_CHECKS)
    by_order = (check(posted) for check in ORDER_CHECKS)
    return _once(chain(chain.from_iterable(by_wheel), chain.from_iterable(by_order)))


def raised_by_structure(posted: Posted) -> list[Raised]:
    """Everything that follows from the wheels as structures."""
    return _once(
        each for wheel in posted.wheels for check in STRUCTURE_CHECKS for each in check(wheel)
    )


def _once(raised: Iterator[Raised]) -> list[Raised]:
    """One code at one place is said once: the first to say it wins."""
    by_key = {}
    for each in raised:
        by_key.setdefault((each.finding.code, each.finding.at), each)
    return list(by_key.values())
