"""The work of an answer is counted: nonsense costs no more to answer than it takes to say it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.orders import reading
from buildsheet.orders.again import asked_again
from buildsheet.orders.changes import Changes, values_at
from buildsheet.orders.check import check, check_document
from buildsheet.orders.checks import QUESTIONS
from buildsheet.orders.form import fault_of_form
from buildsheet.orders.judging import Judgement, Key, key_of
from buildsheet.orders.raised import Raised
from buildsheet.orders.text import sift
from tests.orders.speaking import SPEAKING
from tests.orders.workshop import Document, demo, disc_set, put

WHEEL = ("rim", "holes", "hub", "crossings", "crossings/left", "spoke", "spoke/right", "nipple")
PLACES = (
    *(f"/{wheel}/{member}" for wheel in ("front", "rear") for member in WHEEL),
    *("/front/nipple_colour", "/front/washer", "/rear/driver", "/kind", "/front", "/rear"),
    *("/use/brake", "/use/rotor_mount", "/use/front_axle", "/use/tyre_width_mm", "/market"),
    *("/finish/decal_colour", "/finish/decal_size"),
)
"""Places of every family that a way out may change."""

DOCUMENTS = {code: each for code, each in SPEAKING.items() if not isinstance(each.order(), bytes)}
WRONG: tuple[Any, ...] = (None, 1, "x", "NOPE", [], {}, -1e300, True)


def everywhere(value: object) -> Document:
    """An order that says the same wrong thing at every place."""

    def put_in(members: Document) -> Document:
        return {
            name: put_in(each) if isinstance(each, dict) else value
            for name, each in members.items()
        }

    return put_in(disc_set())


def one_change_each(document: Document, edition: Edition) -> Iterator[Changes]:
    for at in PLACES:
        for value in values_at(at, edition, document)[-1:]:
            yield ((at, value),)


def keys(raised: tuple[Raised, ...]) -> set[Key]:
    return {key_of(each.finding) for each in raised}


def require_what_is_not_asked_again_to_stand(document: Document, edition: Edition) -> None:
    before = Judgement(sift(document), edition)
    wheels = frozenset(before.posted.positions)
    for changes in one_change_each(document, edition):
        after = before.after(changes)
        again = asked_again(tuple(at for at, _ in changes), wheels, edition)
        for question in QUESTIONS:
            if id(question) not in again.ids:
                assert keys(after.answer(question)) == keys(before.answer(question)), changes
            elif question not in again.blocking:
                assert not any(each.finding.blocks for each in after.answer(question)), changes


def require_the_form_to_be_read_again_as_if_whole(document: Document, edition: Edition) -> None:
    before = Judgement(sift(document), edition)
    said = keys(before.form)
    for changes in one_change_each(document, edition):
        after = before.after(changes)
        whole = keys(Judgement(after.parsed, edition).form)
        assert keys(after.form_again) <= whole, changes
        assert whole - said == keys(after.form_again) - said, changes


def require_nothing_to_be_said_of_what_is_apart(document: Document, edition: Edition) -> int:
    """How often nobody had to ask."""
    before = Judgement(sift(document), edition)
    unasked = 0
    for changes in ((), *one_change_each(document, edition)):
        judged = before.after(changes) if changes else before
        for question in QUESTIONS:
            if question.of_computed and question.position in judged.apart:
                unasked += 1
                assert judged.answer(question) == (), (changes, question.check)
    return unasked


@pytest.mark.parametrize("code", DOCUMENTS)
def test_what_a_change_does_not_touch_is_answered_as_before(code: str):
    document, edition = DOCUMENTS[code].order(), DOCUMENTS[code].edition()
    assert isinstance(document, dict)
    require_what_is_not_asked_again_to_stand(document, edition)
    require_the_form_to_be_read_again_as_if_whole(document, edition)
    require_nothing_to_be_said_of_what_is_apart(document, edition)


@pytest.mark.parametrize("value", WRONG, ids=repr)
def test_the_same_holds_of_nonsense(value: Any):
    require_what_is_not_asked_again_to_stand(everywhere(value), demo())
    require_the_form_to_be_read_again_as_if_whole(everywhere(value), demo())
    assert require_nothing_to_be_said_of_what_is_apart(everywhere(value), demo()) > 100


@pytest.mark.parametrize("at", ["/use", "/front", "/rear", "/finish", "/kind", "/front/spoke"])
@pytest.mark.parametrize("value", [None, 3, "set", [], {}], ids=repr)
def test_the_same_holds_where_an_object_is_none(at: str, value: Any):
    document = put(disc_set(), {at: value})
    require_what_is_not_asked_again_to_stand(document, demo())
    require_the_form_to_be_read_again_as_if_whole(document, demo())
    require_nothing_to_be_said_of_what_is_apart(document, demo())


@pytest.fixture
def work(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often a fault of form was worded, an order was changed on trial, and a check was asked."""
    counted: Counter[str] = Counter()
    after, answer = Judgement.after, Judgement.answer

    def worded(error: Any) -> Any:
        counted["worded"] += 1
        return fault_of_form(error)

    def tried(self: Judgement, changes: Changes) -> Judgement:
        counted["tried"] += 1
        return after(self, changes)

    def asked(self: Judgement, question: Any) -> Any:
        counted["asked"] += id(question) not in self._answers
        return answer(self, question)

    monkeypatch.setattr(reading, "fault_of_form", worded)
    monkeypatch.setattr(Judgement, "after", tried)
    monkeypatch.setattr(Judgement, "answer", asked)
    return counted


def test_unknown_members_are_worded_once_each(work: Counter[str]):
    nonsense = {f"member_{place}": place for place in range(390)}
    check_document(nonsense, demo())  # what catalog values are worth is remembered from here on
    work.clear()
    said = check_document(nonsense, demo()).findings
    assert len(said) == 397
    assert work["worded"] == 397
    assert work["tried"] <= 13  # ten markets and three kinds


def test_members_given_twice_are_not_compared_with_each_other(work: Counter[str]):
    twice = ",".join(f'"m{place}":1,"m{place}":2' for place in range(390))
    said = check(f"{{{twice}}}".encode(), demo()).findings
    assert sum(each.code == "order.duplicate-member" for each in said) == 390
    assert work["tried"] <= 13


@pytest.mark.parametrize("value", WRONG, ids=repr)
def test_an_order_that_is_wrong_everywhere_is_tried_once_for_each_value_on_offer(
    value: Any, work: Counter[str]
):
    document = everywhere(value)
    findings = check_document(document, demo()).findings
    offers = [
        other for at in {each.at for each in findings} for other in values_at(at, demo(), document)
    ]
    # and some sets of changes, none of which fails for what one of them alone was told
    assert work["tried"] <= len(offers) + 20
    assert work["asked"] <= len(QUESTIONS) + 12 * work["tried"]


def test_what_one_change_leaves_standing_is_not_tried_beside_what_does_not_touch_it(
    work: Counter[str],
):
    heavy = put(disc_set(), {"/use/rider_kg": 250})
    assert "load.system-mass" in {each.code for each in check_document(heavy, demo()).findings}
    assert work["tried"] <= 450


def test_a_hub_that_no_frame_takes_is_not_tried_with_every_spoke(work: Counter[str]):
    document = put(disc_set(), {"/front/hub": "x", "/use/front_axle": "99x999"})
    said = {each.at: each for each in check_document(document, demo()).findings if each.blocks}
    assert said["/front/hub"].together == ()
    assert work["tried"] <= 40
