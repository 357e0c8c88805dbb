"""The fewest lengths, and of the smallest stores the one that keeps most wheels' sides apart.

Both are held against trying every store there is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.space.lengths.apart import Both, Side, kept_apart, smallest_store
from buildsheet.space.lengths.windows import Want, Window, fewest, narrowest, on_grid

GRIDS = st.sampled_from([range(250, 258), range(250, 264, 2)])


@st.composite
def windows(draw: st.DrawFn, grid: range) -> Window:
    first = draw(st.integers(0, len(grid) - 1))
    return grid[first : first + draw(st.integers(1, 3))]


@st.composite
def wheels(draw: st.DrawFn) -> tuple[Both, ...]:
    grids = {"SJ18": draw(GRIDS), "SJB9": draw(GRIDS)}

    def side() -> Side:
        spoke = draw(st.sampled_from(sorted(grids)))
        return Side(spoke, draw(windows(grids[spoke])))

    several = range(draw(st.integers(1, 8)))
    return tuple(Both(side(), side(), draw(st.integers(1, 5))) for _ in several)


def stores_that_serve(asked: list[Window], size: int) -> Iterator[tuple[int, ...]]:
    lengths = sorted({length for window in asked for length in window})
    for store in combinations(lengths, size):
        if all(any(length in window for length in store) for window in asked):
            yield store


def by_type(several: tuple[Both, ...]) -> Mapping[str, list[Window]]:
    found: dict[str, list[Window]] = {}
    for each in several:
        for side in (each.left, each.right):
            found.setdefault(side.spoke, []).append(side.window)
    return found


@given(GRIDS.flatmap(lambda grid: st.lists(windows(grid), min_size=1, max_size=9)))
def test_no_smaller_store_serves_every_window(asked: list[Window]):
    chosen = fewest(asked)
    assert all(any(length in window for length in chosen) for window in asked)
    for size in range(len(chosen)):
        assert not list(stores_that_serve(asked, size))


@given(st.lists(windows(range(250, 270)), min_size=1, max_size=12))
def test_windows_that_contain_another_ask_for_nothing_more(asked: list[Window]):
    kept = narrowest(asked)
    assert set(kept) <= set(asked)
    assert len(fewest(kept)) == len(fewest(asked))
    assert all(any(set(each) <= set(window) for each in kept) for window in asked)


@settings(max_examples=60)
@given(wheels(), st.integers(0, 2))
def test_of_all_smallest_stores_none_keeps_more_builds_apart(
    several: tuple[Both, ...], look_alike_mm: int
):
    store = smallest_store(several, look_alike_mm)
    asked = by_type(several)
    sizes = {spoke: len(fewest(each)) for spoke, each in asked.items()}
    assert store.proved
    assert {spoke: len(each) for spoke, each in store.lengths_mm.items()} == sizes
    for spoke, each in asked.items():
        assert all(any(length in window for length in store.lengths_mm[spoke]) for window in each)
    every = product(*(list(stores_that_serve(asked[spoke], sizes[spoke])) for spoke in asked))
    best = max(
        kept_apart(several, dict(zip(asked, stores, strict=True)), look_alike_mm)
        for stores in every
    )
    assert store.apart == best == kept_apart(several, store.lengths_mm, look_alike_mm)


def test_a_wheel_gets_equal_lengths_rather_than_lengths_that_look_alike():
    left, right = Side("SJ18", range(280, 282)), Side("SJ18", range(281, 283))
    lower = Side("SJ18", range(279, 281))
    store = smallest_store((Both(left, right, 3), Both(lower, right, 1)), look_alike_mm=1)
    assert len(store.lengths_mm["SJ18"]) == 2
    assert store.apart == 4


def test_a_window_holds_the_lengths_that_the_plan_would_take():
    assert on_grid(Want("SJ18", 280.5, (-0.5, 1.0), 14), range(248, 293)) == range(280, 282)
    assert on_grid(Want("SJ18", 280.1, (-0.2, 0.9), 14), range(248, 293)) == range(280, 282)
    assert on_grid(Want("SJ18", 280.3, (-0.2, 0.9), 14), range(248, 293)) == range(281, 282)
    assert on_grid(Want("SJ18", 293.5, (-0.5, 1.0), 14), range(248, 293)) is None
    assert on_grid(Want("SJ18", 246.0, (-0.5, 1.0), 14), range(248, 293)) is None
