"""The checks, one file per family, each a plain function that yields what it finds.

A check looks at what is known. Where an input of the order is missing it stays silent, because that
absence has a finding of its own; where a part lacks a figure it says so with a block.
``structure`` is kept apart: it costs more, and a search asks it last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Final

from buildsheet.catalog.parts import Position
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
    rules,
    spoke,
    structure,
    tension,
    tyre,
)
from buildsheet.orders.posted import POSITIONS, Posted, PostedWheel
from buildsheet.orders.raised import Raised

WheelCheck = Callable[[PostedWheel], Iterator[Raised]]
OrderCheck = Callable[[Posted], Iterator[Raised]]


@dataclass(frozen=True, slots=True)
class Question:
    """One check asked of one wheel, or of the order as a whole (``position`` None).

    A change inside the other wheel cannot alter the answer about this one. ``check`` names the check
    by family and function: ``rim_hub.hole_count``. ``of_computed``: it says nothing of a wheel whose
    parts are not all known or do not join, so nobody need ask.
    """

    position: Position | None
    ask: Callable[[Posted], tuple[Raised, ...]]
    check: str
    of_computed: bool = False


def _of_wheels(checks: tuple[WheelCheck, ...]) -> Iterator[Question]:
    for position in POSITIONS:
        for check in checks:
            ask = partial(_ask_wheel, check, position)
            yield Question(position, ask, _named(check), check in OF_COMPUTED)


def _of_order(checks: tuple[OrderCheck, ...]) -> Iterator[Question]:
    for check in checks:
        yield Question(None, partial(_ask_order, check), _named(check))


def _named(check: WheelCheck | OrderCheck) -> str:
    return f"{check.__module__.rpartition('.')[2]}.{check.__qualname__}"


def _ask_wheel(check: WheelCheck, position: Position, posted: Posted) -> tuple[Raised, ...]:
    wheel = posted.wheel(position)
    return tuple(check(wheel)) if wheel is not None else ()


def _ask_order(check: OrderCheck, posted: Posted) -> tuple[Raised, ...]:
    return tuple(check(posted))


PART_CHECKS: Final[tuple[WheelCheck, ...]] = (
    *data.CHECKS,
    *rim_hub.CHECKS,
    *spoke.CHECKS,
    *nipple.CHECKS,
    *bicycle.CHECKS,
    *lacing.CHECKS,
    *load.CHECKS,
    *tyre.CHECKS,
    *finish.CHECKS,
    *rules.CHECKS,
)
ORDER_CHECKS: Final[tuple[OrderCheck, ...]] = (
    *order.ORDER_CHECKS,
    *load.ORDER_CHECKS,
    *finish.ORDER_CHECKS,
    *pair.ORDER_CHECKS,
    *tension.ORDER_CHECKS,
    *rules.ORDER_CHECKS,
)
COMPUTED_CHECKS: Final[tuple[WheelCheck, ...]] = (
    *data.COMPUTED_CHECKS,
    *lacing.COMPUTED_CHECKS,
    *length.COMPUTED_CHECKS,
    *tension.COMPUTED_CHECKS,
    *rules.COMPUTED_CHECKS,
)
OF_COMPUTED: Final[frozenset[WheelCheck]] = frozenset(
    {*COMPUTED_CHECKS, *structure.CHECKS}
    # the wrap follows from few members already, and what a rule says without a plan is its own affair
    - {lacing.wrap_angle, rules.planned_rules}
)
"""Checks that say nothing of a wheel that cannot be put together."""

QUESTIONS: Final[tuple[Question, ...]] = (
    *_of_wheels(PART_CHECKS),
    *_of_order(ORDER_CHECKS),
    *_of_wheels(COMPUTED_CHECKS),
    *_of_wheels(structure.CHECKS),
)
"""Every check, the cheap ones first: a search stops at the first new fault."""
