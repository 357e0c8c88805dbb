"""How long the impact of a change takes on the demo catalog with 500 open orders.

Warm: the running edition's wheels are remembered, as in a service that has answered once; the changed
edition is new each time. Cold is the first impact of a process, everything included. The bar is 1 s for
one changed rule. Both wall and processor time are printed: other work on the machine adds to the former.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from time import perf_counter, process_time

from buildsheet.actions.catalog_files import demo_directory, read_stock_file
from buildsheet.catalog.edition import Edition
from buildsheet.space.builds import builds_of
from buildsheet.space.impact.impact import Impact, impact
from buildsheet.space.impact.orders import OpenOrder
from buildsheet.space.impact.proposals import STAGES
from tests.space.editions import demo, with_part, with_rule
from tests.workshops import EXAMPLES

ORDERS = 500
ROUNDS = 5


def open_orders(edition: Edition) -> tuple[OpenOrder, ...]:
    """Sets of any two sound wheels, in any state; the same in every run."""
    dice = random.Random(16)
    document = json.loads((EXAMPLES / "D-1001.json").read_text(encoding="utf-8"))
    builds = builds_of(edition)
    orders = []
    for number in range(ORDERS):
        front, rear = (dice.choice(builds[position].builds) for position in ("front", "rear"))
        wheels = {
            each.position: {
                **each.members(),
                "nipple_colour": edition.nipples[each.nipple].colours[0],
            }
            for each in (front, rear)
        }
        wheels["rear"]["driver"] = "B"
        named = {**document, **wheels, "number": f"N-{number}"}
        state = dice.choice(sorted(STAGES))
        orders.append(OpenOrder(f"O-{number}", "bench", named["number"], state, edition, named))
    return tuple(orders)


def changed_rule(edition: Edition, turn: int) -> Edition:
    """One more blocking rule; another figure each turn."""
    needs = f"use.system_kg <= {90.0 - turn} || spoke.section_mm2 > 1.75"
    return with_rule(edition, "bench", scope="wheel", needs=needs, at="spoke")


def changed_limit(edition: Edition, turn: int) -> Edition:
    """A lower spoke limit of one rim; another one each turn."""
    return with_part(edition, "rims", "OR33D", spoke_limit_n=1200.0 - turn)


def main() -> None:
    edition = demo()
    stock, _ = read_stock_file(demo_directory(), edition)
    start, used = perf_counter(), process_time()
    builds_of(edition)
    print(
        f"all wheels, cold {perf_counter() - start:7.2f} s wall {process_time() - used:6.2f} s cpu"
    )
    orders = open_orders(edition)
    changes: dict[str, Callable[[Edition, int], Edition]] = {
        "one rule": changed_rule,
        "one rim limit": changed_limit,
    }
    print(f"{'change':14} {'cold s':>7} {'wall s':>7} {'cpu s':>7} {'orders':>7}  configurations")
    for name, change in changes.items():
        times: list[tuple[float, float]] = []
        found: Impact | None = None
        for turn in range(ROUNDS + 1):
            new = change(edition, turn)
            start, used = perf_counter(), process_time()
            found = impact(edition, new, orders=orders, stock=stock)
            times.append((perf_counter() - start, process_time() - used))
        if found is not None:
            say(name, times, found)


def say(name: str, times: list[tuple[float, float]], found: Impact) -> None:
    wall = sorted(each for each, _ in times[1:])[ROUNDS // 2]
    cpu = sorted(each for _, each in times[1:])[ROUNDS // 2]
    counted = found.configurations
    print(
        f"{name:14} {times[0][0]:7.2f} {wall:7.2f} {cpu:7.2f} {len(found.orders):7d}  "
        f"+{counted.appear} -{counted.disappear} ~{counted.change} of {counted.old}"
    )


if __name__ == "__main__":
    main()
