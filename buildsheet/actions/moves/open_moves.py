"""What can be done to an order now."""

from __future__ import annotations

from buildsheet.actions.moves.documents import OPEN
from buildsheet.states import ORDER_MOVES

BY_HAND = ("approve", "release", "close", "hold", "change", "cancel")
"""Moves that somebody asks for; the others follow from the wheels."""


def moves_from(state: str) -> tuple[str, ...]:
    """The moves that somebody can ask for in this state of an order.

    >>> moves_from("accepted"), moves_from("cancelled")
    (('release', 'hold', 'change', 'cancel'), ())
    >>> moves_from("shipped")
    ('close',)
    """
    there: set[str] = {move for before, move in ORDER_MOVES if before == state}
    if state in OPEN:
        there |= {"change"}
    return tuple(each for each in BY_HAND if each in there)


def states_with(move: str) -> frozenset[str]:
    """The states of an order that have this move, which is one of `BY_HAND`.

    >>> sorted(states_with("release")), sorted(states_with("hold"))
    (['accepted'], ['accepted', 'released'])
    """
    if move == "change":
        return OPEN
    return frozenset(before for before, each in ORDER_MOVES if each == move)
