"""The synthetic catalog counted: CEL rules compiled and asked, choices eliminated; beside it two others.

60 rims, 80 hubs, 20 spokes a side, fourteen further choices, 100 rules, about 10^15 combinations. The
bars: counted from cold in under 2 s on one core; choices of a half-filled order in under 100 ms warm;
and at least 10 times faster than the better of plain enumeration and of a decision-diagram library on
the same tables. All three get the rules as tables that are ready: asking CEL is the same for all, and
stands in a row of its own. Enumeration walks a space of the same shape, cut down: combinations grow
choice by choice in arrays, struck out by each rule as soon as it can be judged. Diagrams
count the whole space in several variable orders; the best one of them is compared. Everything runs on
one core, by turns; times are the process's own, so that neighbours on the machine do not enter.
"""

from __future__ import annotations

import os
import statistics
from collections.abc import Callable, Mapping, Sequence
from time import process_time

from buildsheet.catalog.rules import language
from buildsheet.space.counting import Choice, Factor, Space, contraction
from tests.space.counting.asked import choices_of, factors_of
from tests.space.counting.diagrams import Diagrams
from tests.space.counting.synthetic import Synthetic, synthetic
from tests.space.counting.walking import walked

ROUNDS = 5
WALKED = {"rim": 20, "hub": 20, "left spoke": 4, "right spoke": 4, "holes": 3, "crossings": 2,
          "nipple": 3, "nipple colour": 2, "washer": 2, "driver": 2, "class": 3, "brake": 3, "axle": 2,
          "tyre width": 2, "tyre system": 2, "decal": 1, "market": 1, "rider": 2}  # fmt: skip
"""Values kept of each choice, those with the most ways: what enumeration can still walk."""

BY_HAND = ("class", "rider", "brake", "hub", "rim", "left spoke", "right spoke", "nipple", "holes")
"""A variable order by thought: what everything depends on above, then the large parts together."""

HALF = ("rim", "holes", "class", "brake", "rider", "tyre width", "market", "nipple colour", "decal")
"""What a half-filled order holds: half of the choices, the hub and both spokes still open."""


def milliseconds(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """The median of a few runs."""
    times: list[float] = []
    for _ in range(rounds):
        start = process_time()
        work()
        times.append((process_time() - start) * 1e3)
    return statistics.median(times)


def forget() -> None:
    """What a fresh process would not know: compiled rules and paths of contraction."""
    language.condition.cache_clear()
    contraction._path.cache_clear()


def asked_anew(catalog: Synthetic) -> list[Factor]:
    """Rules compiled and asked."""
    forget()
    return factors_of(catalog)


def from_cold(catalog: Synthetic) -> int:
    """Rules compiled, asked, made factors; merged, ordered, counted."""
    return Space(choices_of(catalog), asked_anew(catalog)).count()


def eliminated(choices: Sequence[Choice], factors: Sequence[Factor]) -> int:
    """From tables to the count, nothing remembered."""
    contraction._path.cache_clear()
    return Space(choices, factors).count()


def orders(space: Space) -> Mapping[str, list[str]]:
    """Variable orders for the diagrams: by hand, as declared, and two by what binds choices together."""
    names = list(space.names)
    eliminations = space.elimination()
    return {
        "by hand": [*BY_HAND, *(name for name in names if name not in BY_HAND)],
        "as declared": names,
        "by elimination": eliminations,
        "by elimination, backwards": eliminations[::-1],
    }


def diagrams(choices: Sequence[Choice], factors: Sequence[Factor], expected: int) -> float:
    """The best median over orders and kinds of diagrams, the count alone; each one is printed."""
    best = float("inf")
    for title, order in orders(Space(choices, factors)).items():
        for kind in ("bdd", "bcdd"):
            managers = [Diagrams(choices, order, kind) for _ in range(3)]
            counts: list[int] = []
            time = milliseconds(
                lambda managers=managers, counts=counts: counts.append(  # type: ignore[misc]
                    managers.pop().count(factors)
                ),
                rounds=3,
            )
            agrees = "" if set(counts) == {expected} else f"  COUNTS {counts}"
            print(f"  diagrams, {title + ', ' + kind:34} {time:10.1f} ms{agrees}")
            best = min(best, time)
    return best


def half_filled(catalog: Synthetic, space: Space) -> dict[str, int]:
    """Each of `HALF` held at its most usual value that is still open, one after the other."""
    held: dict[str, int] = {}
    for name in HALF:
        ways = space.ways(held, [name])[name]
        held[name] = max(range(len(ways)), key=ways.__getitem__)
    return held


def main() -> None:
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    catalog = synthetic()
    choices = choices_of(catalog)
    start = process_time()
    count = from_cold(catalog)
    first = (process_time() - start) * 1e3
    cold = milliseconds(lambda: from_cold(catalog))
    asking = milliseconds(lambda: asked_anew(catalog))
    print(f"{catalog.combinations:,} combinations, {len(catalog.rules)} rules, {count:,} buildable")
    print(f"  from cold (bar 2,000 ms)               {cold:10.1f} ms (first time {first:.1f})")
    print(f"    of it, rules compiled and asked      {asking:10.1f} ms")
    factors = factors_of(catalog)
    space = Space(choices, factors)
    held = half_filled(catalog, space)
    print(f"  warm: count                            {milliseconds(space.count):10.1f} ms")
    print(f"  warm: ways through every value         {milliseconds(space.ways):10.1f} ms")
    half = milliseconds(lambda: space.ways(held), 15)
    print(
        f"  warm: half-filled order (bar 100 ms)   {half:10.1f} ms, {space.count(held):,} ways left"
    )
    instead = milliseconds(lambda: space.ways(held, instead=True), 15)
    print(f"  warm: the same, also instead of held   {instead:10.1f} ms")
    compare(catalog, choices, factors, count)


def compare(
    catalog: Synthetic, choices: Sequence[Choice], factors: Sequence[Factor], count: int
) -> None:
    print("from the rules' tables to the count, the whole space:")
    ours = milliseconds(lambda: eliminated(choices, factors), 9)
    print(f"  eliminated                             {ours:10.1f} ms")
    whole = diagrams(choices, factors, count)
    small = catalog.cut(WALKED, Space(choices, factors).ways())
    few, tables = choices_of(small), factors_of(small)
    print(f"the same cut down to {small.combinations:,} combinations:")
    there = milliseconds(lambda: eliminated(few, tables), 9)
    print(f"  eliminated                             {there:10.1f} ms")
    found = walked(few, tables).shape[1]
    walk = milliseconds(lambda: walked(few, tables).shape[1], 3)
    print(f"  walked                                 {walk:10.1f} ms, {found:,} buildable")
    if found != eliminated(few, tables):
        print("  THE COUNTS DIFFER")
    print(f"diagrams / ours on the whole space: {whole / ours:.1f}; walking / ours on the cut-down")
    print(
        f"one: {walk / there:.1f}, and ours does not grow with the number of combinations (bar 10)"
    )


if __name__ == "__main__":
    main()
