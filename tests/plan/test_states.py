"""The state table is whole: every state answers every change, and every way ends somewhere."""

from __future__ import annotations

from typing import get_args

import pytest

from buildsheet.states import (
    CONSEQUENCES,
    ORDER_MOVES,
    STATIONS,
    WHEEL_MOVES,
    Change,
    OrderState,
    WheelState,
    consequence,
    least_advanced,
    order_after,
    wheel_after,
)


def reached(first: str, moves: dict[tuple[str, str], str]) -> set[str]:
    found, new = {first}, {first}
    while new:
        new = {to for (state, _), to in moves.items() if state in new} - found
        found |= new
    return found


def test_every_state_of_an_order_is_reached_and_ends_closed_or_cancelled():
    moves = {(str(a), str(b)): str(to) for (a, b), to in ORDER_MOVES.items()}
    assert reached("accepted", moves) == set(get_args(OrderState))
    ends = set(get_args(OrderState)) - {state for state, _ in moves}
    assert ends == {"closed", "cancelled"}


def test_every_state_of_a_wheel_is_reached_and_ends_shipped_in_stock_or_cancelled():
    moves = {(str(a), str(b)): str(to) for (a, b), to in WHEEL_MOVES.items()}
    assert reached("planned", moves) == set(get_args(WheelState))
    ends = set(get_args(WheelState)) - {state for state, _ in moves}
    assert ends == {"shipped", "stock", "cancelled"}


@pytest.mark.parametrize("state", get_args(WheelState))
@pytest.mark.parametrize("change", get_args(Change))
def test_every_state_answers_every_change_with_what_would_be_lost(
    state: WheelState, change: Change
):
    assert consequence(state, change).lost.endswith(".")


def test_a_change_never_gets_easier_as_the_wheel_gets_on():
    rank = {"free": 0, "recheck": 0, "new-issue": 1, "approval": 2, "refused": 3}
    for change in get_args(Change):
        hardness = [rank[CONSEQUENCES[state, change].how] for state in STATIONS]
        if change != "cancel":  # cancelling a drilled rim is free, it only changes its shelf
            assert hardness == sorted(hardness), change


def test_a_move_that_does_not_exist_leads_nowhere():
    assert order_after("closed", "release") is None
    assert wheel_after("planned", "inspect") is None


def test_an_order_is_as_far_as_its_least_advanced_wheel():
    assert least_advanced(["packed", "drilled"]) == "drilled"
    assert least_advanced(["packed", "cancelled"]) == "packed"
    assert least_advanced(["cancelled"]) == "cancelled"
