"""How long the demo catalog's exact count takes: cold, after one changed rim, and again.

Beside it, in the same run, the walk that judges wheels one by one under a use that suits them, for one
rim. Cold: nothing about these wheels is remembered.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

from buildsheet.plan import build
from buildsheet.space.builds import builds_of, remembered, walk
from buildsheet.space.count import count
from buildsheet.wheel.structure import planned, standing
from tests.journeys.test_demo_space import walked
from tests.orders.workshop import demo, with_part

RIM = "OR38R"


def forget() -> None:
    """Everything that is remembered about wheels."""
    for each in (
        build._compute,
        build._solved,
        planned.solve,
        standing._stands,
        walk.sound_wheels,
        remembered._joined,
    ):
        each.cache_clear()


def seconds(do: Callable[[], object]) -> float:
    """Of the processor."""
    start = process_time()
    do()
    return process_time() - start


def main() -> None:
    builds_of(demo())  # start-up: scipy is imported
    rim = demo().rims[RIM]
    forget()
    alone = seconds(lambda: walked(demo(), rim))
    forget()
    cold = seconds(lambda: count(demo()))
    again = seconds(lambda: count(demo()))
    changed = with_part(demo(), "rims", RIM, spoke_limit_n=1180.0)
    one_rim = seconds(lambda: count(changed))
    counted = count(demo())
    print(
        f"{counted.combinations:,} combinations, {counted.buildable:,} buildable, {counted.sets:,} sets"
    )
    print(f"cold {cold:.2f} s, one rim changed {one_rim:.2f} s, again {again:.3f} s")
    print(f"judging {counted.by_rim[RIM]:,} wheels of {RIM} alone, one by one: {alone:.2f} s")


if __name__ == "__main__":
    main()
