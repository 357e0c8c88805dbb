"""The shelves at a terminal: what is expected is said where it is announced, and in the list."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from buildsheet.actions.workshop import Workshop
from tests.cli.conftest import Said

Ask = Callable[..., Said]


def test_an_announced_delivery_is_answered_with_all_that_is_expected_and_when(
    said: Ask, workshop: Workshop, workshop_file: Path
):
    assert workshop.path == workshop_file
    first = said("stock", "expect", "KF4/24", 10, "--on", "2099-05-22", "--db", workshop_file)
    assert "10 expected: 10 on 2099-05-22" in first.out
    second = said("stock", "expect", "KF4/24", 5, "--on", "2099-04-01", "--db", workshop_file)
    assert "15 expected: 5 on 2099-04-01, 10 on 2099-05-22" in second.out
    # What comes in is taken off the earliest.
    came = said("stock", "receive", "KF4/24", 7, "--db", workshop_file)
    assert "KF4/24                7 on the shelf, 0 held, 7 free" in came.out
    assert "8 expected: 8 on 2099-05-22" in came.out
    assert "7 that came in count against what was announced (5 for 1 April 2099 and 2 for" in (
        " ".join(came.out.split())
    )
    other = said("stock", "receive", "KF4/24", 3, "--unannounced", "--db", workshop_file)
    assert "10 on the shelf" in other.out
    assert "8 expected: 8 on 2099-05-22" in other.out
    assert "came in count against" not in other.out
    shown = said("stock", "show", "KF4", "--db", workshop_file).out.splitlines()[-1]
    assert shown.split() == ["KF4/24", "10", "0", "10", "8", "on", "2099-05-22"]


def test_an_article_of_which_nothing_comes_says_nothing_of_it(
    said: Ask, workshop: Workshop, workshop_file: Path
):
    assert workshop.path == workshop_file
    assert "expected" not in said("stock", "receive", "KF4/24", 7, "--db", workshop_file).out


def test_a_delivery_whose_day_has_passed_is_late(
    said: Ask, workshop: Workshop, workshop_file: Path
):
    assert workshop.path == workshop_file
    answer = said("stock", "expect", "KF4/24", 10, "--on", "2001-05-22", "--db", workshop_file)
    assert "10 expected: 10 on 2001-05-22 (late)" in answer.out
    assert "10 on 2001-05-22 (late)" in said("stock", "show", "--db", workshop_file).out
