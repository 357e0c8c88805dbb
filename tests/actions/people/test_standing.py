"""Whether the workshop asks who somebody is: what is asked at every request is remembered for a moment."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

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
        other_process.setattr(standing._seen, "open_s", {})
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


@pytest.mark.usefixtures("clock_s")
def test_whoever_is_added_while_somebody_else_looks_counts_at_once(
    empty_workshop: Workshop, monkeypatch: pytest.MonkeyPatch
):
    """Else the one who looked would note, after the other was added, that the workshop was open."""
    asks_nobody = standing.asks_nobody

    def looks_slowly(workshop: Workshop) -> bool:
        found = asks_nobody(workshop)
        person(workshop)
        return found

    with monkeypatch.context() as slow:
        slow.setattr(standing, "asks_nobody", looks_slowly)
        assert standing.asked_nobody_lately(empty_workshop)
    assert not standing.asked_nobody_lately(empty_workshop)


@pytest.mark.usefixtures("clock_s")
def test_whoever_is_added_by_another_path_to_the_file_counts_at_once(empty_workshop: Workshop):
    path = empty_workshop.path
    roundabout = open_workshop(path.parent / ".." / path.parent.name / path.name)
    assert roundabout.path != path
    assert standing.asked_nobody_lately(empty_workshop)
    person(roundabout)
    roundabout.close()
    assert not standing.asked_nobody_lately(empty_workshop)


@pytest.mark.usefixtures("clock_s")
def test_one_workshop_that_is_open_says_nothing_of_another(
    empty_workshop: Workshop, tmp_path: Path
):
    other = open_workshop(tmp_path / "other.db")
    person(other)
    assert standing.asked_nobody_lately(empty_workshop)
    assert not standing.asked_nobody_lately(other)
    assert standing.asked_nobody_lately(empty_workshop)
    other.close()


def test_what_was_seen_counts_from_when_it_was_looked_at_and_not_from_when_it_was_asked_for(
    empty_workshop: Workshop, clock_s: list[float], monkeypatch: pytest.MonkeyPatch
):
    asked: list[Workshop] = []
    asks_nobody = standing.asks_nobody

    def counted(workshop: Workshop) -> bool:
        asked.append(workshop)
        return asks_nobody(workshop)

    monkeypatch.setattr(standing, "asks_nobody", counted)
    for _ in range(21):
        # Somebody comes all the time, and none of them makes it last longer for the next.
        assert standing.asked_nobody_lately(empty_workshop)
        clock_s[0] += 0.051
    assert len(asked) == 11
