"""Each check reads what `reads` says, and blocks for one small group of members or another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from buildsheet.catalog.edition import Edition
from buildsheet.orders import posted as posted_room
from buildsheet.orders.checks import QUESTIONS, Question
from buildsheet.orders.judging import Judgement
from buildsheet.orders.posted import Posted, PostedWheel
from buildsheet.orders.reads import RULES_FAMILY, reads_of
from buildsheet.orders.text import sift
from buildsheet.space.questions import ABSENCES, ASKINGS
from tests.orders.speaking import OTHER_SEVERITIES, SPEAKING, Speaking
from tests.orders.workshop import demo, disc_set, with_part
from tests.space.random_orders import Document, posed

EVERY_SPEAKING: list[tuple[str, Speaking]] = [
    *list(SPEAKING.items()),
    *[(code, each) for (code, _), each in OTHER_SEVERITIES.items()],
]
BLOCKING = [each for each in EVERY_SPEAKING if each[1].severity == "block"]
ABOUT_UNKNOWN_CODES = {"data.unknown-part"}
"""Groups are asked about parts that the edition knows."""

STATIC = [each for each in QUESTIONS if not each.check.startswith(RULES_FAMILY)]
PARTS = {"rim", "hub", "nipple", "washer", "driver", "holes"}


class Recording(dict[str, Any]):
    """One object of an order that writes down which of its members are looked at."""

    def __init__(self, values: Document, at: str, log: set[str]) -> None:
        super().__init__(
            {
                name: Recording(each, f"{at}/{name}", log) if isinstance(each, dict) else each
                for name, each in values.items()
            }
        )
        self.at, self.log = at, log

    def get(self, name: str, otherwise: Any = None) -> Any:
        self.log.add(f"{self.at}/{name}")
        return super().get(name, otherwise)

    def __getitem__(self, name: str) -> Any:
        self.log.add(f"{self.at}/{name}")
        return super().__getitem__(name)

    def __iter__(self) -> Iterator[str]:
        raise AssertionError("a check walks through all members")


@pytest.fixture
def log(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    looked_at: set[str] = set()

    class TracedWheel(PostedWheel):
        def __getattribute__(self, name: str) -> Any:
            if name in PARTS or name == "spokes":
                at = object.__getattribute__(self, "at")
                looked_at.add(f"{at}/{'spoke' if name == 'spokes' else name}")
            return object.__getattribute__(self, name)

    monkeypatch.setattr(posted_room, "PostedWheel", TracedWheel)
    return looked_at


def declared(question: Question) -> set[str]:
    reads = reads_of(question)
    return {at for group in (*reads.groups, reads.beside) for at in group}


def is_declared(at: str, places: set[str]) -> bool:
    """A place, one inside it, or an object that holds it."""
    return any(
        at == each or each.startswith(at + "/") or at.startswith(each + "/") for each in places
    )


def undeclared(question: Question, document: Document, edition: Edition, log: set[str]) -> set[str]:
    posted = Posted(Recording(document, "", log), edition)
    assert len(posted.wheels) == len(posted.positions)  # every part is looked up by now
    log.clear()
    question.ask(posted)
    return {at for at in log if not is_declared(at, declared(question))}


def test_every_check_says_what_it_reads():
    for question in STATIC:
        assert declared(question) or not reads_of(question).groups


@pytest.mark.parametrize("name", sorted({each.check for each in STATIC}))
def test_no_check_reads_a_member_that_it_does_not_say(name: str, log: set[str]):
    questions = [each for each in STATIC if each.check == name]

    @settings(max_examples=25)
    @given(posed())
    def trace(pose: tuple[Edition, Document]) -> None:
        edition, document = pose
        for question in questions:
            assert undeclared(question, document, edition, log) == set()

    trace()


def test_a_trace_notices_a_member_that_is_not_said(log: set[str]):
    spacing = next(each for each in QUESTIONS if each.check == "rim_hub.hole_spacing")
    spying = replace(spacing, ask=lambda posted: (posted.use.word("brake"), spacing.ask(posted))[1])
    assert undeclared(spacing, disc_set(), demo(), log) == set()
    assert log == {"/front/rim", "/front/hub"}
    assert undeclared(spying, disc_set(), demo(), log) == {"/use/brake"}


def require_groups_to_say_the_same(document: Document, edition: Edition) -> None:
    judged = Judgement(sift(document), edition)
    for question in STATIC:
        whole = any(each.finding.blocks for each in judged.answer(question))
        groups = [each for each in ASKINGS if each.question is question]
        by_group = [each.reads for each in groups if each.block(document, edition)]
        assert whole == bool(by_group), (question.check, by_group)


@given(posed())
def test_a_check_blocks_where_one_of_its_groups_blocks(pose: tuple[Edition, Document]):
    require_groups_to_say_the_same(pose[1], pose[0])


@pytest.mark.parametrize(("code", "speaking"), BLOCKING, ids=[code for code, _ in BLOCKING])
def test_every_code_that_blocks_is_raised_by_one_of_its_groups(
    code: str, speaking: Speaking, log: set[str]
):
    document, edition = speaking.order(), speaking.edition()
    if isinstance(document, bytes) or Judgement(sift(document), edition).form:
        return  # the form says it, not a check
    for question in STATIC:
        assert undeclared(question, document, edition, log) == set()
    if code not in ABOUT_UNKNOWN_CODES:
        require_groups_to_say_the_same(document, edition)


@given(posed())
def test_an_order_is_buildable_where_no_asking_blocks(pose: tuple[Edition, Document]):
    edition, document = pose
    judged = Judgement(sift(document), edition)
    blocked = any(each.finding.blocks for each, _ in judged.everything())
    assert blocked == any(each.block(document, edition) for each in ASKINGS)


def test_members_outside_a_group_are_not_looked_at():
    for asking in ASKINGS:
        document = disc_set()
        answer = asking.block(document, demo())
        kept = {at.split("/")[1] for at in asking.reads}
        bare = {name: each for name, each in document.items() if name in {"front", "rear", *kept}}
        assert asking.block(bare, demo()) == answer


def test_an_absence_counts_at_a_member_that_is_read_and_nowhere_else():
    document = disc_set()
    del document["rear"]["driver"], document["front"]["crossings"]
    absences = {
        (each.question.check, finding.at)
        for each in ASKINGS
        if (finding := each.block(document, demo())) and finding.code in ABSENCES
    }
    assert absences == {
        ("bicycle.driver", "/rear/driver"),
        ("lacing.pattern_named", "/front/crossings"),
    }


def test_what_a_part_does_not_say_blocks_the_group_that_reads_it():
    edition = with_part(demo(), "hubs", disc_set()["front"]["hub"], hole_mm=None)
    blocked = {
        each.reads: finding.code
        for each in ASKINGS
        if each.question.check == "spoke.elbow_hole"
        and (finding := each.block(disc_set(), edition))
    }
    assert blocked == {
        ("/front/hub", "/front/spoke/left"): "data.fact-missing",
        ("/front/hub", "/front/spoke/right"): "data.fact-missing",
    }
