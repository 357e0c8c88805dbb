"""What may still be chosen is exactly what a walk through every complete order finds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders.check import check_document
from buildsheet.space.choices import Choices, choices
from buildsheet.space.choices.places import values_of
from tests.orders.workshop import demo
from tests.space.choosing import (
    Places,
    blocking_codes,
    buildable,
    complete,
    document_of,
    part_of_an_order,
    small_edition,
    walk,
)

MOST_WALKED = 300


def small_case(seed: int) -> tuple[Edition, Places]:
    chance = Random(seed)
    edition = small_edition(chance)
    return edition, part_of_an_order(chance, edition, MOST_WALKED)


small_cases = st.integers(0, 10**9).map(small_case)


def key(value: Value) -> str:
    return repr(value)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(small_cases)
def test_ways_and_values_are_those_that_a_walk_finds(case: tuple[Edition, Places]):
    edition, places = case
    good = [each for each in walk(places, edition) if buildable(each, edition)]
    answer = choices(document_of(places), edition)
    assert answer.ways == len(good)
    assert set(answer.open) == {at for each in good for at in each} - {*places}
    for at, ways in answer.open.items():
        walked = Counter(key(each[at]) for each in good if at in each)
        assert {key(way.value): way.ways for way in ways} == walked
    for at, closed in answer.closed.items():
        listed = [way.value for way in answer.open.get(at, ())] + [each.value for each in closed]
        assert Counter(map(key, listed)) == Counter(map(key, values_of(at, edition)))


@settings(max_examples=15, deadline=None, derandomize=True)
@given(small_cases)
def test_a_check_that_closes_a_value_refuses_every_order_that_has_it(
    case: tuple[Edition, Places],
):
    edition, places = case
    answer = choices(document_of(places), edition)
    every = list(walk(places, edition))
    for at, value, code in closed_by_checks(answer):
        having = [each for each in every if key(each.get(at)) == key(value)]
        for each in having[:2] + having[-1:]:
            assert code in blocking_codes(each, edition), (at, value)


def closed_by_checks(answer: Choices) -> Iterator[tuple[str, Value, str]]:
    if answer.ways == 0:
        return
    for at, closed in answer.closed.items():
        for each in closed:
            if each.finding.code not in ("order.no-way-on", "pair.kind"):
                yield at, each.value, each.finding.code


@settings(max_examples=15, deadline=None, derandomize=True)
@given(small_cases)
def test_what_a_finding_says_to_try_clears_the_way(case: tuple[Edition, Places]):
    edition, places = case
    answer = choices(document_of(places), edition)
    for at, value, changes in ways_out(answer):
        changed = {**places, **changes} if at is None else {**places, at: value, **changes}
        assert choices(document_of(changed), edition).ways > 0, (at, value, changes)


def ways_out(answer: Choices) -> Iterator[tuple[str | None, Value, dict[str, Value]]]:
    """Each closed value (no place: the part itself) with each set of changes that is to clear it."""
    said: list[tuple[str | None, Value, Any]] = [(None, None, each) for each in answer.findings]
    if answer.ways:
        said += [
            (at, closed.value, closed.finding)
            for at, every in answer.closed.items()
            for closed in every
        ]
    for at, value, finding in said:
        for change in finding.try_:
            yield from ((at, value, {change.at: each}) for each in change.values)
        yield from ((at, value, dict(each)) for each in finding.together)


@pytest.mark.parametrize("seed", range(12))
def test_following_any_offered_values_ends_in_an_order_that_can_be_built(seed: int):
    """No dead end: whoever takes offered values at random arrives."""
    chance, places = Random(seed), begun(seed)
    answer = choices(document_of(places), demo())
    while answer.open:
        assert answer.ways > 0
        at = chance.choice(sorted(answer.open))
        way = chance.choice(answer.open[at])
        places[at] = way.value
        before, answer = answer, choices(document_of(places), demo())
        assert answer.ways >= way.ways
        if "/kind" in places and "/use/brake" in places and at not in ("/kind", "/use/brake"):
            assert answer.ways == way.ways
        assert before.ways >= way.ways
    assert answer.ways == 1
    assert check_document(complete(places), demo()).buildable


def begun(seed: int) -> Places:
    """Where somebody begins: with nothing, with a rim in mind, with a heavy rider ..."""
    beginnings: list[Places] = [
        {},
        {"/rear/rim": "OR45A"},
        {"/use/rider_kg": 95, "/use/bike_kg": 9, "/use/luggage_kg": 10},
        {"/front/hub": "KF4", "/use/tyre_width_mm": 29},
    ]
    return beginnings[seed % len(beginnings)]
