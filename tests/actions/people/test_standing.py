"""Whether the workshop asks who somebody is: what is asked at every request is remembered for a moment."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from buildsheet.actions.people import standing
from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.persons import add_person
from buildsheet.actions.people.roles import Role
from buildsheet.actions.workshop import Workshop, open_workshop
from tests.workshops import empty_workshop, workshop_file

__all__ = ["empty_workshop", "workshop_file"]

PASSWORD = "seven wheels in a wet shed"


@pytest.fixture
def clock_s(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The clock of what is remembered, in one place that a test may change."""
    at_s = [100.0]
    monkeypatch.setattr(standing, "monotonic", lambda: at_s[0])
    return at_s


def person(workshop: Workshop) -> None:
    add_person(workshop, "O. Example", Role.OWNER, PASSWORD)


def key(workshop: Workshop) -> None:
    add_key(workshop, "shop-a", Role.INTAKE)


@pytest.mark.parametrize("add", [person, key])
@pytest.mark.usefixtures("clock_s")
def test_whoever_this_process_adds_counts_at_once(
    empty_workshop: Workshop, add: Callable[[Workshop], None]
):
    assert standing.asked_nobody_lately(empty_workshop)
    add(empty_workshop)
    assert not standing.asked_nobody_lately(empty_workshop)


def test_whom_another_process_adds_counts_a_tenth_of_a_second_later(
    empty_workshop: Workshop, clock_s: list[float], monkeypatch: pytest.MonkeyPatch
):
    assert standing.asked_nobody_lately(empty_workshop)
    elsewhere = open_workshop(empty_workshop.path)
    with monkeypatch.context() as other_process:
        other_process.setattr(standing, "_seen_open_s", {})
        person(elsewhere)
    elsewhere.close()
    clock_s[0] += 0.099
    assert standing.asked_nobody_lately(empty_workshop)
    clock_s[0] += 0.002
    assert not standing.asked_nobody_lately(empty_workshop)


@pytest.mark.usefixtures("clock_s")
def test_that_somebody_is_asked_is_never_forgotten(empty_workshop: Workshop):
    person(empty_workshop)
    assert not standing.asked_nobody_lately(empty_workshop)
    assert not standing.asked_nobody_lately(empty_workshop)
