"""States of orders and wheels, and every move between them: the one table.

An order::

    accepted ──hold──▶ on-hold ──approve──▶ accepted          (an order with approvals begins on-hold)
       │                  │
    release            cancel
       ▼                  ▼
    released ─────────▶ cancelled
       │  its wheels walk the stations below; where the first is begun before, that is the release
       ▼
    shipped ──close──▶ closed

A wheel, station by station; an order counts as far as its least advanced wheel::

    planned ▶ kitted ▶ drilled ▶ building ▶ inspected ▶ finished ▶ packed ▶ shipped
                 ╰────(drilled before)────▶╯ ▲   │
                                             ╰───╯ rework
    kitted, drilled, building ──start over──▶ planned (a structural change: another wheel, same serial)
    finished, packed ──finish again──▶ inspected (other decals)
    any of them before shipped ──set aside──▶ stock (a wheel without an order)   ──cancel──▶ cancelled

``drilled`` is the point of no return for the rim. What a change or a cancellation means in each state is
`CONSEQUENCES` [the trade's own table; common practice].
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

OrderState = Literal["accepted", "on-hold", "released", "shipped", "closed", "cancelled"]
WheelState = Literal[
    "planned",
    "kitted",
    "drilled",
    "building",
    "inspected",
    "finished",
    "packed",
    "shipped",
    "stock",
    "cancelled",
]
OrderMove = Literal["hold", "approve", "release", "ship", "close", "cancel"]
WheelMove = Literal[
    "kit",
    "drill",
    "build",
    "inspect",
    "rework",
    "finish",
    "pack",
    "ship",
    "start-over",
    "finish-again",
    "set-aside",
    "cancel",
]
Change = Literal["paper", "cosmetic", "structural", "cancel"]
"""Paper: nothing of the wheel. Cosmetic: decals. Structural: any part, pattern or tension."""

ORDER_MOVES: Final[Mapping[tuple[OrderState, OrderMove], OrderState]] = MappingProxyType(
    {
        ("accepted", "hold"): "on-hold",
        ("on-hold", "approve"): "accepted",
        ("accepted", "release"): "released",
        ("released", "hold"): "on-hold",
        ("released", "ship"): "shipped",
        ("shipped", "close"): "closed",
        ("accepted", "cancel"): "cancelled",
        ("on-hold", "cancel"): "cancelled",
        ("released", "cancel"): "cancelled",
    }
)
"""Every move of an order that there is."""

WHEEL_MOVES: Final[Mapping[tuple[WheelState, WheelMove], WheelState]] = MappingProxyType(
    {
        ("planned", "kit"): "kitted",
        ("kitted", "drill"): "drilled",
        ("kitted", "build"): "building",
        ("drilled", "build"): "building",
        ("building", "inspect"): "inspected",
        ("inspected", "rework"): "building",
        ("inspected", "finish"): "finished",
        ("finished", "rework"): "building",
        ("finished", "pack"): "packed",
        ("packed", "ship"): "shipped",
        **{(state, "start-over"): "planned" for state in ("kitted", "drilled", "building")},
        **{(state, "finish-again"): "inspected" for state in ("finished", "packed")},
        **{(state, "cancel"): "cancelled" for state in ("planned", "kitted")},
        **{
            (state, "set-aside"): "stock"
            for state in ("drilled", "building", "inspected", "finished", "packed")
        },
    }
)
"""Every move of a wheel that there is."""

STATIONS: Final[tuple[WheelState, ...]] = (
    "planned",
    "kitted",
    "drilled",
    "building",
    "inspected",
    "finished",
    "packed",
    "shipped",
)
"""The way of a wheel, in order."""


def order_after(state: OrderState, move: OrderMove) -> OrderState | None:
    """Where an order goes with this move; None where the move does not exist from there."""
    return ORDER_MOVES.get((state, move))


def wheel_after(state: WheelState, move: WheelMove) -> WheelState | None:
    """Where a wheel goes with this move; None where the move does not exist from there."""
    return WHEEL_MOVES.get((state, move))


def least_advanced(states: Iterable[WheelState]) -> WheelState:
    """How far an order is: as far as its least advanced wheel that is still being built for it.

    >>> least_advanced(["building", "kitted"])
    'kitted'
    """
    left = [each for each in states if each in STATIONS]
    return min(left, key=STATIONS.index) if left else "cancelled"


How = Literal["free", "recheck", "new-issue", "approval", "refused"]


@dataclass(frozen=True, slots=True)
class Consequence:
    """What a change means: ``how`` it goes, what is ``lost`` (said to whoever asks), whether the sheet
    needs a new issue."""

    how: How
    lost: str
    new_issue: bool = False


_FREE: Final = Consequence("free", "Nothing is lost.")
_RECHECK: Final = Consequence("recheck", "Nothing is lost; the order is checked again.", True)
_GONE: Final = Consequence(
    "refused", "The wheel has left the house: a change is a new order for service, or a return."
)

_CHANGES: Final[tuple[Change, ...]] = ("paper", "cosmetic", "structural", "cancel")
_BUILT: Final[tuple[WheelState, ...]] = ("inspected", "finished", "packed")
_LEFT: Final[tuple[WheelState, ...]] = ("shipped", "stock", "cancelled")
_WHEN_BUILT: Final[Mapping[Change, Consequence]] = {
    "paper": _FREE,
    "cosmetic": Consequence("approval", "Decals that are on come off and are scrapped."),
    "structural": Consequence(
        "refused",
        "The wheel is built and inspected. Let it become a stock wheel and order anew.",
    ),
    "cancel": Consequence("approval", "The wheel becomes a stock wheel under its serial."),
}

CONSEQUENCES: Final[Mapping[tuple[WheelState, Change], Consequence]] = MappingProxyType(
    {
        ("planned", "paper"): _FREE,
        ("planned", "cosmetic"): _FREE,
        ("planned", "structural"): _RECHECK,
        ("planned", "cancel"): Consequence("free", "Nothing is lost; what was held is free again."),
        ("kitted", "paper"): _FREE,
        ("kitted", "cosmetic"): Consequence("free", "The finishing page is printed again."),
        ("kitted", "structural"): Consequence(
            "new-issue", "The kit goes back and is picked again; the sheet gets a new issue.", True
        ),
        ("kitted", "cancel"): Consequence("free", "The kit goes back on the shelf."),
        ("drilled", "paper"): _FREE,
        ("drilled", "cosmetic"): Consequence("free", "The finishing page is printed again."),
        ("drilled", "structural"): Consequence(
            "approval",
            "The rim is drilled: it is kept only where its drilling fits the changed wheel; otherwise it "
            "becomes a drilled article in stock and a new rim is taken.",
            True,
        ),
        ("drilled", "cancel"): Consequence(
            "free", "The rim goes to stock as a drilled article, the rest back on the shelf."
        ),
        ("building", "paper"): _FREE,
        ("building", "cosmetic"): Consequence("free", "The finishing page is printed again."),
        ("building", "structural"): Consequence(
            "approval",
            "The wheel is laced: spokes that were bent are scrapped, nipples are new, the hours are lost.",
            True,
        ),
        ("building", "cancel"): Consequence(
            "approval", "The wheel becomes a stock wheel under its serial."
        ),
        **{(state, change): what for state in _BUILT for change, what in _WHEN_BUILT.items()},
        **{(state, change): _GONE for state in _LEFT for change in _CHANGES},
    }
)
"""What a change or a cancellation means, by the state of the wheel it touches."""


def consequence(state: WheelState, change: Change) -> Consequence:
    """What this change means for a wheel in this state.

    >>> consequence("drilled", "structural").how
    'approval'
    """
    return CONSEQUENCES[state, change]
