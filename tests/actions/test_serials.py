"""Numbers on paper: what a slip of pen, eye or finger does to them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.actions.serials import (
    CODE_BYTES,
    CODE_LETTERS,
    ISSUE_LETTERS,
    as_typed,
    bench_code,
    next_issue,
    serial,
    well_formed,
)

YEARS = st.integers(2000, 2099)
NUMBERS = st.integers(1, 99_999)


@given(YEARS, NUMBERS)
def test_a_number_given_out_is_well_formed(year: int, number: int):
    assert well_formed(serial("W", year, number))
    assert well_formed(serial("A", year, number))


@given(YEARS, NUMBERS, st.sampled_from([1, 2, 4, 5, 6, 7, 8]), st.integers(1, 9))
def test_one_wrong_digit_shows(year: int, number: int, place: int, off: int):
    given_out = serial("W", year, number)
    wrong = str((int(given_out[place]) + off) % 10)
    assert not well_formed(given_out[:place] + wrong + given_out[place + 1 :])


@given(YEARS, NUMBERS, st.sampled_from([(1, 2), (2, 4), (4, 5), (5, 6), (6, 7), (7, 8)]))
def test_two_neighbours_exchanged_show(year: int, number: int, places: tuple[int, int]):
    letters = list(serial("W", year, number))
    first, second = places
    same = letters[first] == letters[second]
    letters[first], letters[second] = letters[second], letters[first]
    assert well_formed("".join(letters)) is same


@given(
    YEARS, NUMBERS, st.sampled_from(["{}", " {} ", "({})"]), st.sampled_from(["", " ", "-", "."])
)
def test_a_number_is_found_however_it_was_typed(year: int, number: int, around: str, between: str):
    printed = serial("W", year, number)
    assert as_typed(around.format(printed.lower().replace("-", between))) == printed


def test_a_year_that_is_full_says_so():
    with pytest.raises(ValueError, match="99999 a year"):
        serial("W", 2031, 100_000)


def test_issue_letters_run_out_loudly():
    issue: str | None = None
    letters = []
    for _ in ISSUE_LETTERS:
        issue = next_issue(issue)
        letters.append(issue)
    assert "".join(letters) == ISSUE_LETTERS
    with pytest.raises(ValueError, match="no issue letter"):
        next_issue(issue)


def test_nothing_that_is_printed_for_typing_can_be_mistaken():
    assert not set(CODE_LETTERS) & set("io01")
    assert not set(ISSUE_LETTERS) & set("IO")
    assert len(CODE_LETTERS) == len(set(CODE_LETTERS)) == 32


def test_every_byte_of_chance_counts_evenly_in_a_bench_code():
    codes = [bench_code(bytes([byte]) * CODE_BYTES) for byte in range(256)]
    assert len(set(codes)) == 32
    assert all(codes.count(code) == 8 for code in set(codes))
