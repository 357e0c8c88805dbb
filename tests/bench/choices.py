"""What may still be chosen in the demo workshop: milliseconds of processor time, warm, on one core.

The bar is 10 ms for a half-filled order. Every run leaves out another half of the order; "other
masses" and "other tyres" also put in a mass, or a tyre width off the lists, that was never asked about.
"Nothing said", "begun" and "the same half" ask one question again, which is remembered. Work is done in
one thread, so an idle machine answers as fast.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from itertools import count
from random import Random
from statistics import median
from time import process_time
from typing import Any

from buildsheet.orders.check import check_document
from buildsheet.space.choices import choices
from tests.orders.workshop import ABSENT, demo, disc_set, put

RUNS = 40
PLACES = (
    *("/market", "/use/class", "/use/rotor_mount", "/use/front_axle", "/use/rear_axle"),
    *("/use/cassette", "/use/tyre_width_mm", "/use/tyre_system", "/finish/decal_colour"),
    *("/front/rim", "/front/holes", "/front/hub", "/front/crossings", "/front/spoke"),
    *("/front/nipple", "/front/nipple_colour", "/rear/rim", "/rear/holes", "/rear/hub"),
    *("/rear/crossings", "/rear/spoke", "/rear/nipple", "/rear/nipple_colour", "/rear/driver"),
)

Document = dict[str, Any]


def half_filled(run: int = 0) -> Document:
    """A set of which half is said, another half in each run; it can be built."""
    chance = Random(run)
    document = put(disc_set(), {"/front/washer": ABSENT})
    places = chance.sample(PLACES, k=len(PLACES) // 2)
    return put(document, dict.fromkeys(places, ABSENT))


def begun() -> Document:
    """The bicycle is known, and of the wheels only the front rim."""
    use = {name: disc_set()["use"][name] for name in ("class", "rider_kg", "brake", "tyre_system")}
    return {"kind": "set", "market": "DE", "use": use, "front": {"rim": "OR45A"}}


def cases() -> Iterator[tuple[str, Callable[[int], Document]]]:
    """What is asked, and the document of each run."""
    yield "nothing said", lambda _: {}
    yield "begun", lambda _: begun()
    yield "the same half", lambda _: half_filled()
    yield "half filled", half_filled
    yield (
        "half filled, other masses",
        lambda run: put(half_filled(run), {"/use/rider_kg": 60 + run / 64}),
    )
    yield (
        "half filled, other tyres",
        lambda run: put(half_filled(run), {"/use/tyre_width_mm": 28.5 + run / 64}),
    )
    yield "all but the hub", lambda _: put(disc_set(), {"/front/hub": ABSENT})
    yield "a dead end", lambda _: put(disc_set(), {"/front/hub": "KF4"})


def main() -> None:
    """Print the cold start, then the median and the worst of each case."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    start = process_time()
    ways = choices({}, demo()).ways
    print(f"cold, every wheel found: {process_time() - start:6.2f} s   ({ways} ways)")
    runs = count()
    for name, document in cases():
        choices(document(next(runs)), demo())
        print(f"{name:<28} {_timed(lambda: choices(document(next(runs)), demo()))}")  # noqa: B023
    whole = disc_set()
    print(f"{'beside it: check of a set':<28} {_timed(lambda: check_document(whole, demo()))}")


def _timed(deed: Callable[[], object]) -> str:
    times_ms = []
    for _ in range(RUNS):
        start = process_time()
        deed()
        times_ms.append(1e3 * (process_time() - start))
    return f"median {median(times_ms):6.2f} ms   best {min(times_ms):6.2f}   worst {max(times_ms):6.2f}"


if __name__ == "__main__":
    main()
