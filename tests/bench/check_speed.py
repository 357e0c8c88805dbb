"""How long an order takes to be judged, inside the process after start-up.

Cold: nothing about these wheels is remembered, neither geometry nor structure. Warm: the same order again.
The bar for a good set, cold, is 30 ms; for an order with faults, 300 ms.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from time import perf_counter

from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import check
from buildsheet.plan import build
from buildsheet.wheel.structure import planned
from tests.orders.workshop import EXAMPLES, demo, edition_17

ROUNDS = 15
ORDERS: tuple[tuple[str, Callable[[], Edition]], ...] = (
    ("D-1001", demo),
    ("D-1009", demo),
    ("D-1005", edition_17),
    ("D-1006", demo),
    ("D-1008", demo),
)


def forget() -> None:
    """Everything that is remembered about wheels."""
    build._built.clear()
    build._compute.cache_clear()
    build._solved.cache_clear()
    planned.solve.cache_clear()


def milliseconds(raw: bytes, edition: Edition, *, cold: bool) -> list[float]:
    """One time a round."""
    times: list[float] = []
    for _ in range(ROUNDS):
        if cold:
            forget()
        start = perf_counter()
        check(raw, edition)
        times.append((perf_counter() - start) * 1e3)
    return times


def main() -> None:
    check((EXAMPLES / "D-1001.json").read_bytes(), demo())  # start-up: scipy is imported
    print(f"{'order':8} {'findings':>8} {'cold ms':>9} {'worst':>7} {'warm ms':>9}")
    for name, edition in ORDERS:
        raw = (EXAMPLES / f"{name}.json").read_bytes()
        cold = milliseconds(raw, edition(), cold=True)
        warm = milliseconds(raw, edition(), cold=False)
        said = len(check(raw, edition()).findings)
        print(
            f"{name:8} {said:8d} {statistics.median(cold):9.2f} {max(cold):7.1f} "
            f"{statistics.median(warm):9.2f}"
        )


if __name__ == "__main__":
    main()
