"""Moves from several processes at once: one wins, nothing is half done."""

from __future__ import annotations

import json
import subprocess
import sys

from buildsheet.actions.show_order import show_order
from buildsheet.actions.stock.shelf import disagreements
from buildsheet.actions.workshop import Workshop
from tests.actions.moves.asking import changed_example, standing, state_of, take
from tests.workshops import example, raw

RACE = """
import sys
from pathlib import Path
from buildsheet.actions.moves.cancel import cancel_order
from buildsheet.actions.moves.change import change_order
from buildsheet.actions.workshop import open_workshop

path, order, move = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
workshop = open_workshop(path, create=False)
print("ready", flush=True)
body = sys.stdin.buffer.read()
deed = cancel_order if move == "cancel" else change_order
print(deed(workshop, order, body).outcome)
"""


def test_of_a_change_and_a_cancellation_in_two_processes_both_or_one_are_made_in_order(
    stocked: Workshop,
):
    order = take(stocked, example("D-1010"))["id"]
    said = {"by": "A. Maker", "reason": "Racing each other."}
    bodies = {
        "cancel": raw(said),
        "change": raw({**said, "old_revision": 1, "order": changed_example("D-1010")}),
    }
    racing = {
        move: subprocess.Popen(
            [sys.executable, "-c", RACE, str(stocked.path), order, move],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        for move in bodies
    }
    for each in racing.values():
        assert each.stdout is not None
        assert each.stdout.readline() == b"ready\n"
    for move, each in racing.items():
        assert each.stdin is not None
        each.stdin.write(bodies[move])
        each.stdin.close()
    outcomes = {}
    for move, each in racing.items():
        assert each.stdout is not None
        outcomes[move] = each.stdout.read().decode().strip()
        assert each.wait() == 0
        each.stdout.close()
    # A cancellation always finds the order open; a change only where it came first.
    assert outcomes["cancel"] == "done"
    assert outcomes["change"] in ("done", "conflict")
    assert state_of(stocked, order) == "cancelled"
    assert {state for state, _ in standing(stocked, order).values()} == {"cancelled"}
    view = show_order(stocked, order)
    assert view is not None
    made = [each.move for each in view.moves]
    assert made == (["change", "cancel"] if outcomes["change"] == "done" else ["cancel"])
    assert disagreements(stocked) == ()
    assert all(json.loads(each.answer)["done"] for each in view.moves)
