"""Sixteen clients race for 50 hubs with 200 orders through two workers, round after round.

The bar: in each of 20 rounds exactly 50 orders are held and 150 refused, each refusal naming what is short
and offering what can be built and is on the shelf; no hub is promised twice, and the sums agree.
"""

from __future__ import annotations

import json
import tempfile
from collections import Counter
from itertools import count
from pathlib import Path

from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.stock.shelf import disagreements, show_shelf
from buildsheet.actions.workshop import Workshop, open_workshop
from tests.bench.intake import CLIENTS, EXAMPLES, WHOLE, prepared
from tests.bench.serving.load import Answer, Connection, at_once
from tests.bench.serving.server import serving

ROUNDS = 20
HUBS, ORDERS = 50, 200
HUB = "KF4/24"


def main() -> None:
    with tempfile.TemporaryDirectory() as directory:
        file = prepared(Path(directory, "workshop.db"))
        workshop = open_workshop(file)
        with serving(WHOLE, file) as port:
            good = sum(_round(workshop, port, number) for number in range(ROUNDS))
        wrong = disagreements(workshop)
        workshop.close()
    print(
        f"{good} of {ROUNDS} rounds exactly {HUBS} held and {ORDERS - HUBS} refused with a way out"
    )
    print(f"stock sums that disagree with their movements: {len(wrong)}")


def _round(workshop: Workshop, port: int, number: int) -> bool:
    """Whether a round went as it must; said where it did not."""
    before = _lay_out(workshop, number)
    order = json.loads((EXAMPLES / "D-1003.json").read_text())
    numbers, answers = count(), list[Answer]()

    def run(connection: Connection, _client: int) -> None:
        while (mine := next(numbers)) < ORDERS:
            body = json.dumps({**order, "number": f"R{number}-{mine}"}).encode()
            answers.append(connection.post("/api/v1/orders", body))

    took_s = at_once(port, CLIENTS, run)
    told = Counter(map(_what, answers))
    level = show_shelf(workshop, HUB).lines[0].level
    good = told == {"held": HUBS, "refused with a way out": ORDERS - HUBS}
    good = good and (level.free, level.held) == (0, before + HUBS)
    print(f"round {number + 1:2}: {dict(told)}, {level.free} free, {took_s:.1f} s", flush=True)
    return good


def _lay_out(workshop: Workshop, number: int) -> int:
    """Let exactly so many hubs be free; how many are held already."""
    level = show_shelf(workshop, HUB).lines[0].level
    line = {"kind": "counted", "part": HUB, "pieces": level.held + HUBS}
    document = {"key": f"round-{number:04}", "by": "bench", "reason": "laid out"}
    moved = take_movements(workshop, json.dumps({**document, "movements": [line]}).encode())
    if moved.outcome != "entered":
        raise RuntimeError(moved.findings)
    return level.held


def _what(answer: Answer) -> str:
    """What a sender is told, in a word."""
    document = json.loads(answer.body)
    if answer.status == 201:
        held = [part["part"] for hold in document["holds"] for part in hold["parts"]]
        return "held" if HUB in held else "taken without a hold"
    short = [each for each in document["findings"] if each["code"] == "stock.short"]
    named = answer.status == 409 and [each["have"]["item"] for each in short] == [HUB]
    if named and (short[0]["try"] or short[0].get("together")):
        return "refused with a way out"
    return f"status {answer.status}"


if __name__ == "__main__":
    main()
